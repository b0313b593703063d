/** What was found in a job beside the procedure's work: all of it, one of it, and the acts on it. */
import { PlainKey } from '../../../parts/keys'
import { type Found, foundIn } from '../../../work/found'
import { offerWords } from '../../../work/found-words'
import type { Rooms } from '../../rooms'
import { OrderKey } from '../act-keys'
import { Frame } from '../frame'
import type { InJob } from '../in-job'
import { RowKey } from '../rows'
import { agreedSince } from '../../../work/agreed-since'
import { CustomersWord } from './customers-word'
import { AddExtra, DoExtra } from './extra-work'
import { FoundRow } from './found-row'
import { NewFinding } from './new-finding'
import { OneFinding } from './one-finding'
import { Settle } from './settle'
import { SinceSigned } from './since-signed'
import { extraIn, standsAt } from './step-of'
import * as says from '../../../words/en/bay/found/index'
import { t } from '../../../words/message'

type FoundProps = InJob & Pick<Rooms, 'sync'> & { parts: readonly string[] }

/** @param parts the address behind `found`: which act, on which finding, extra or step */
export function FoundRoom({ parts, ...inJob }: FoundProps) {
  const { now } = inJob
  const [act, id, ...more] = parts
  const here = foundIn(now.held, now.bundle)
  const isOver = now.row.end !== null
  if (!isOver && (act === 'new' || act === 'photo' || act === 'offer'))
    return <New {...inJob} here={here} way={act} step={id} offer={more[0]} />
  const since = !isOver && act === 'since' ? agreedSince(now) : null
  if (since) return <SinceSigned {...inJob} since={since} />
  const isPhoto = more[0] === 'photo'
  const found = here.found.find(({ entry }) => entry === id)
  const extra = extraIn(here, id)
  if (!isOver && act === 'do' && extra) return <DoExtra {...inJob} {...extra} isPhoto={isPhoto} />
  if (!found) return <AllFound {...inJob} here={here} />
  if (act === 'word') return <CustomersWord {...inJob} found={found} />
  if (!isOver && act === 'extra') return <AddExtra {...inJob} found={found} />
  if (!isOver && act === 'settle') return <Settle {...inJob} found={found} isPhoto={isPhoto} />
  return <OneFinding {...inJob} found={found} />
}

interface NewProps extends InJob, Pick<Rooms, 'sync'> {
  here: Found
  way: 'new' | 'photo' | 'offer'
  step: string | undefined
  /** The entry that offered it. */
  offer: string | undefined
}

function New({ here, way, step, offer, ...inJob }: NewProps) {
  const { now } = inJob
  const asked = now.steps.find((each) => each.step.id === step) ?? standsAt(now)
  const offered = here.offers.find(({ entry, step: of }) =>
    way === 'offer' ? of.id === step : entry === offer,
  )
  if (way === 'offer' && !offered) return <AllFound {...inJob} here={here} />
  return <NewFinding {...inJob} asked={asked} offer={offered ?? null} isPhoto={way === 'photo'} />
}

function AllFound({ here, ...inJob }: Omit<FoundProps, 'parts'> & { here: Found }) {
  const { head, now, to, onward } = inJob
  const isNone = here.found.length + here.offers.length === 0
  return (
    <Frame
      head={head}
      title={isNone ? t(says.nothingFound) : t(says.allFound)}
      side={<OrderKey to={to} />}
      main={
        now.row.end === null ? (
          <PlainKey
            label={t(says.foundSomething)}
            note={t(says.withAPhoto)}
            onPress={() => to('found', 'new')}
          />
        ) : (
          <PlainKey label={t(says.goOn)} onPress={onward} />
        )
      }
    >
      <ul class="rows" aria-label={t(says.allFound)}>
        {here.offers.map((offer) => (
          <RowKey
            key={offer.entry}
            note={t(says.notNotedYet)}
            onPress={() => to('found', 'new', offer.step.id, offer.entry)}
          >
            {offerWords(offer)}
          </RowKey>
        ))}
        {here.found.map((found) => (
          <FoundRow key={found.entry} {...inJob} found={found} />
        ))}
      </ul>
    </Frame>
  )
}
