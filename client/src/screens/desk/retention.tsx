/** How long jobs are kept, and those that are kept longer: each is erased by an order of its own, or stays. */
import type { RetentionAnswer } from '../../ledger/answers'
import { dayWords } from '../../work/format'
import { FormKey } from '../office/form-key'
import { Older } from '../office/job-lines'
import { useList } from '../office/from-server'
import { TroubleLine } from '../office/shell'
import type { Rooms } from '../rooms'
import { checkDays } from './erasing'
import { DeskForm, Field } from './form'
import { useDraft } from './use-draft'
import { useWriting } from './use-writing'
import * as words from '../../words/en/desk/retention'
import { t } from '../../words/message'

export function Retention(rooms: Rooms) {
  const { answer, older } = useList<RetentionAnswer>(rooms, '/api/retention')
  if (answer === null) return null
  if (!answer.ok) return <TroubleLine trouble={answer.trouble} />
  const { days, jobs } = answer.value
  return (
    <section>
      <h2 class="phase-head">{t(words.keptHowLong)}</h2>
      <p class="d-text">
        {days === null
          ? t(words.neverSaid)
          : t(words.keptFor, { days, n: jobs.length, more: older !== null })}
      </p>
      <ul class="plain-list">
        {jobs.map(({ job, plate, last_received }) => (
          <li key={job}>
            <a class="beside-job" href={`#/desk/jobs/${job}`}>
              {t(words.lastHeard, {
                plate: plate ?? t(words.noPlate),
                day: dayWords(last_received.slice(0, 10)),
              })}
            </a>
          </li>
        ))}
      </ul>
      <Older older={older} label={t(words.more)} />
      <SayDays {...rooms} days={days} />
    </section>
  )
}

function SayDays({ days, ...rooms }: Rooms & { days: number | null }) {
  if (!rooms.store.writer.value) return null
  return (
    <FormKey label={t(words.sayHowLong)}>
      {(leave) => <DaysForm {...rooms} days={days} leave={leave} />}
    </FormKey>
  )
}

function DaysForm({ days, leave, ...rooms }: Rooms & { days: number | null; leave: () => void }) {
  const { write } = useWriting(rooms, null)
  const { draft, of, judged, done } = useDraft('retention', { days: String(days ?? '') }, leave)
  const act = () => {
    const body = judged(checkDays(draft))
    return body && write(async (w) => void (await w.entry('retention.set', body))).then(done)
  }
  return (
    <DeskForm title={t(words.sayHowLong)} submit={t(words.stateIt)} act={act} leave={leave}>
      <p class="d-text">{t(words.nothingByItself)}</p>
      <Field label={t(words.daysLabel)} {...of('days')} />
    </DeskForm>
  )
}
