/** A job rests: parked with a reason at one tap, and gone on with at one more. */
import { EntryLine } from '../../../parts/pad'
import { MissingKey, PlainKey } from '../../../parts/keys'
import { useOneTap } from '../../../parts/settled'
import { parkedWords, reasonWords } from '../../../work/appointment-words'
import { plannedIn } from '../../../work/appointments'
import { capital } from '../../../work/letters'
import { PARK_REASONS, parkJob, resumeJob } from '../../../work/write-found'
import type { Rooms } from '../../rooms'
import { useSecret } from '../../secret'
import { BackKey, OrderKey } from '../act-keys'
import { useDraft } from '../drafts'
import { Frame } from '../frame'
import { asWords, Words } from '../free-words'
import type { InJob } from '../in-job'
import { goBay } from '../nav'
import { RowKey } from '../rows'
import * as says from '../../../words/en/bay/found/park'
import * as parking from '../../../words/en/work/parking'
import { t } from '../../../words/message'

export function Park({ store, job, framed, act, to }: InJob) {
  const [part, setPart, forgetPart] = useDraft(['park', 'part', job], '')
  const [typed, setTyped, forget, since] = useDraft(['park', job], '')
  const tap = useOneTap()
  const park = (why: string) => {
    const write = () => parkJob(store, job, why, part, asWords(typed))
    tap.keep(
      () => act.run(write, t(says.isParked), () => goBay(), forget, forgetPart),
      () => undefined,
      () => undefined, // `trouble` says why
    )
  }
  return (
    <Frame
      {...framed}
      title={t(says.whyDoesItRest)}
      side={<BackKey back={() => to('order')} />}
      main={<MissingKey label={t(says.chooseAbove)} note={t(says.thenParked)} />}
    >
      <p class="soft">{t(says.wordsFirst)}</p>
      <ul class="rows" aria-label={t(says.whyDoesItRest)}>
        {PARK_REASONS.map((why) => (
          <RowKey key={why} onPress={() => park(why)}>
            {capital(reasonWords(why))}
          </RowKey>
        ))}
      </ul>
      <EntryLine id="part" label={t(parking.whichPart)} value={part} onValue={setPart} mode="text" />
      <Words label={t(parking.moreWords)} value={typed} onValue={setTyped} since={since} />
    </Frame>
  )
}

export function Parked({ store, sync, job, framed, now, act, to, onward }: InJob & Pick<Rooms, 'sync'>) {
  const { parked } = plannedIn(now.held)
  const why = useSecret({ store, sync }, parked?.words)
  const tap = useOneTap()
  const resume = () =>
    tap.keep(
      () => act.run(() => resumeJob(store, job), t(says.goesOn), onward),
      () => undefined,
      () => undefined,
    )
  return (
    <Frame
      {...framed}
      title={t(says.itIsParked)}
      side={<OrderKey to={to} />}
      main={<PlainKey label={t(says.goOnWithIt)} onPress={resume} />}
    >
      <p>{parked && `${capital(parkedWords(parked))}.`}</p>
      {why !== null && <p>{why}</p>}
      <p class="soft">{t(says.lookFirst)}</p>
    </Frame>
  )
}
