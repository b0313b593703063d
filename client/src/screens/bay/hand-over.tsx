/** A job goes from one hand to another: to whom, and what was said with it. Who takes it says so on the own phone. */
import { Choice } from '../../parts/choice'
import { MissingKey } from '../../parts/keys'
import { numberOr, type JobNow } from '../../work/job'
import { addNote } from '../../work/write'
import { usePeople } from '../names'
import type { Rooms } from '../rooms'
import { BackKey, RecordKey } from './act-keys'
import { useDraft } from './drafts'
import { Frame } from './frame'
import { Words, asWords } from './free-words'
import type { InJob } from './in-job'
import * as says from '../../words/en/bay/hand-over'
import { t } from '../../words/message'

const standsAt = ({ current, toolsOut }: JobNow): string =>
  t(says.standsAt, {
    hasStep: current !== null,
    number: current ? numberOr(current) : '',
    title: current?.step.title ?? '',
    isBegun: current?.begunHere ?? false,
    out: toolsOut.length,
  })

export function HandOver(props: InJob & Pick<Rooms, 'sync'>) {
  const { now, act, framed, store, sync, job, to, onward } = props
  const [whom, setWhom, forgetWhom] = useDraft(['hand', 'to', job], '')
  const [typed, setTyped, forget, since] = useDraft(['hand', job], '')
  const own = store.device.value?.person
  const people = [...usePeople({ store, sync })].filter(([person]) => person !== own)
  const name = people.find(([person]) => person === whom)?.[1]
  const keep = (to: string) =>
    act.run(
      () =>
        addNote(store, job, t(says.handed, { to, where: standsAt(now), said: asWords(typed) }).trim(), {}),
      t(says.isHanded, { to }),
      onward,
      forget,
      forgetWhom,
    )
  return (
    <Frame
      {...framed}
      title={t(says.toWhom)}
      side={<BackKey back={() => to('order')} />}
      main={
        name === undefined ? (
          <MissingKey label={t(people.length > 0 ? says.chooseAbove : says.noNameYet)} />
        ) : (
          <RecordKey label={t(says.handTo, { to: name })} onHeld={() => keep(name)} />
        )
      }
    >
      {people.length === 0 && <p>{t(says.nobody)}</p>}
      <Choice
        label={t(says.toWhom)}
        rows={people.map(([id, says]) => ({ id, says }))}
        chosen={whom}
        onChoose={setWhom}
      />
      <p>{standsAt(now)}</p>
      <Words label={t(says.whatToSay)} value={typed} onValue={setTyped} since={since} />
      <p class="soft">{t(says.howItGoesOn)}</p>
    </Frame>
  )
}
