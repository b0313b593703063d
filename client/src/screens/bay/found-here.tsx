/** What was found in a job, as lines of its overview and of its end. */
import { agreedOpen, foundIn, type FoundNow, undecidedIn } from '../../work/found'
import { offerWords, placeWords, stateWords } from '../../work/found-words'
import { promisedWords, parkedWords } from '../../work/appointment-words'
import { plannedIn } from '../../work/appointments'
import type { JobNow } from '../../work/job'
import { capital } from '../../work/letters'
import { usePeople } from '../names'
import type { Rooms } from '../rooms'
import { useSecret } from '../secret'
import type { InJob } from './in-job'
import { RowKey } from './rows'
import * as words from '../../words/en/bay/found-here'
import { t } from '../../words/message'

type Here = Pick<Rooms, 'store' | 'sync'>

function Line({ found, open, ...here }: Here & { found: FoundNow; open: () => void }) {
  const own = useSecret(here, found.words ?? undefined)
  return (
    <RowKey note={stateWords(found)} onPress={open}>
      <b>{own ?? found.offered ?? placeWords(found)}</b>
    </RowKey>
  )
}

/** What is found, offered or planned here, before the order of work. */
export function FoundHere({ now, to, ...here }: Here & Pick<InJob, 'now' | 'to'>) {
  const { found, offers } = foundIn(now.held, now.bundle)
  return (
    <>
      <Planned now={now} {...here} />
      {found.length + offers.length > 0 && (
        <ul class="rows" aria-label={t(words.whatWasFound)}>
          {now.row.end === null &&
            offers.map((offer) => (
              <RowKey
                key={offer.entry}
                note={t(words.noteIt)}
                onPress={() => to('found', 'new', offer.step.id, offer.entry)}
              >
                <b>{offerWords(offer)}</b>
              </RowKey>
            ))}
          {found.map((each) => (
            <Line key={each.entry} {...here} found={each} open={() => to('found', 'one', each.entry)} />
          ))}
        </ul>
      )}
    </>
  )
}

function Planned({ now, ...here }: Here & { now: JobNow }) {
  const { person, promised, beside, parked } = plannedIn(now.held)
  const people = usePeople(here as Rooms)
  if (now.row.end !== null || (person === null && promised === null && parked === null)) return null
  return (
    <p>
      {parked && <b>{capital(parkedWords(parked))}. </b>}
      {promised !== null && `${capital(promisedWords(promised, Date.now()))}. `}
      {person !== null && t(words.whoDoes, { name: people.get(person) ?? t(words.somebody) })}
      {beside.length > 0 && ` ${t(words.twoPlans)}`}
    </p>
  )
}

/** An end that leaves something open says so: it goes to the customer as advice, or was agreed and is still to be done. */
export function LeftOpen({ now }: { now: JobNow }) {
  const here = foundIn(now.held, now.bundle)
  const advice = [...here.offers.map(offerWords), ...undecidedIn(here).map(openWords)]
  const agreed = agreedOpen(here).map(openWords)
  return (
    <>
      <Left says={t(words.staysOpen, { n: advice.length })} lines={advice} />
      <Left says={t(words.staysAgreed, { n: agreed.length })} lines={agreed} />
    </>
  )
}

const openWords = (found: FoundNow) =>
  t(words.openLine, { what: found.offered ?? placeWords(found), state: stateWords(found) })

function Left({ says, lines }: { says: string; lines: readonly string[] }) {
  if (lines.length === 0) return null
  return (
    <div class="stop-words" role="status">
      <b>{says}</b> {lines.join(' ')}
    </div>
  )
}
