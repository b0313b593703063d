/** Who is to do the job, and when it is promised. */
import { Choice } from '../../../parts/choice'
import { MissingKey } from '../../../parts/keys'
import { promisedWords } from '../../../work/appointment-words'
import { plannedIn } from '../../../work/appointments'
import { localTime, promiseOf } from '../../../work/promise'
import { planJob } from '../../../work/write-found'
import { usePeople } from '../../names'
import type { Rooms } from '../../rooms'
import { BackKey, RecordKey } from '../act-keys'
import { useDraft } from '../drafts'
import { Frame } from '../frame'
import type { InJob } from '../in-job'
import * as says from '../../../words/en/bay/found/plan'
import { t } from '../../../words/message'

export function Plan({ store, sync, job, framed, now, act, to }: InJob & Pick<Rooms, 'sync'>) {
  const planned = plannedIn(now.held)
  const own = store.device.value?.person ?? null
  const [person, setPerson, forgetPerson] = useDraft<string | null>(
    ['plan', 'who', job],
    planned.person ?? own,
  )
  const [time, setTime, forgetTime] = useDraft(
    ['plan', 'time', job],
    planned.promised === null ? '' : localTime(planned.promised),
  )
  const people = [...usePeople({ store, sync })]
  const promise = promiseOf(time, Date.now())
  const keep = () =>
    act.run(
      () => planJob(store, job, { person, promised: promise.at }),
      t(says.isPlanned),
      () => to('order'),
      forgetPerson,
      forgetTime,
    )
  return (
    <Frame
      {...framed}
      title={t(says.whoAndWhen)}
      side={<BackKey back={() => to('order')} />}
      main={
        promise.isPast ? (
          <MissingKey label={t(says.isPast)} note={t(says.laterTime)} />
        ) : person === null && promise.at === null ? (
          <MissingKey label={t(says.nothingSaid)} />
        ) : (
          <RecordKey
            label={t(says.keepIt)}
            {...(promise.at === null ? {} : { note: promisedWords(promise.at, Date.now()) })}
            onHeld={keep}
          />
        )
      }
    >
      {planned.beside.length > 0 && <p class="stop-words">{t(says.twoPlans)}</p>}
      <p>
        <label for="promised">{t(says.promisedFor)}</label>
        <input
          id="promised"
          class="entry-line entry-long"
          type="datetime-local"
          value={time}
          onInput={(event) => setTime(event.currentTarget.value)}
        />
      </p>
      <Choice
        label={t(says.whoIsOnIt)}
        rows={people.map(([id, name]) => ({ id, says: name }))}
        chosen={person}
        onChoose={(id) => setPerson(id === person ? null : id)}
      />
    </Frame>
  )
}
