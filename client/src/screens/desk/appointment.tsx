/** Who is on a job, when it is promised, why it rests; planned, parked and gone on with from its page. */
import { parkedWords, promisedWords, reasonWords } from '../../work/appointment-words'
import { plannedIn } from '../../work/appointments'
import { capital } from '../../work/letters'
import { localTime } from '../../work/promise'
import type { JobRecord } from '../../work/record'
import { PARK_REASONS, writeParked, writePlan } from '../../work/write-found'
import { Choose } from '../office/choose'
import { namesWords, usePeople } from '../names'
import { Secret } from '../record/steps'
import type { Rooms } from '../rooms'
import { checkPlan, type PlanDraft } from './found-drafts'
import { FormKey } from '../office/form-key'
import { DeskForm, Field } from './form'
import { LapsingOf } from './permits'
import { useDraft } from './use-draft'
import type { Write } from './use-writing'
import * as words from '../../words/en/desk/appointment'
import * as parking from '../../words/en/work/parking'
import { t } from '../../words/message'

export function Appointment({ record, write, ...rooms }: Rooms & { record: JobRecord; write: Write }) {
  const plan = plannedIn(record.held)
  const people = usePeople(rooms)
  if (record.closed !== null) return null
  const { person, promised, beside, parked } = plan
  const canWrite = rooms.store.writer.value
  return (
    <section>
      <h2 class="phase-head">{t(words.appointment)}</h2>
      {person === null && promised === null && !parked && <p class="d-text">{t(words.notPlanned)}</p>}
      {parked && (
        <p class="d-text">
          <b>{capital(parkedWords(parked))}.</b> {parked.words && <Secret {...rooms} of={parked.words} />}
        </p>
      )}
      {(person !== null || promised !== null) && (
        <p class="d-text">
          {person !== null && t(words.whoDoes, { who: namesWords([person], people) })}{' '}
          {promised !== null && `${capital(promisedWords(promised, Date.now()))}.`}
        </p>
      )}
      {person !== null && <LapsingOf {...rooms} person={person} />}
      {beside.map((other, n) => (
        <p class="d-text" key={n}>
          {t(words.alsoPlanned, {
            who: namesWords([other.person ?? ''], people),
            isPromised: other.promised !== undefined,
            promised: other.promised === undefined ? '' : promisedWords(other.promised, Date.now()),
          })}
        </p>
      ))}
      {canWrite && (
        <FormKey label={t(words.planIt)}>
          {(leave) => <PlanForm record={record} people={people} write={write} leave={leave} />}
        </FormKey>
      )}
      {canWrite &&
        (parked ? (
          <button
            type="button"
            class="text-key under-list"
            onClick={() =>
              void write(async (w) => void (await w.entry('job.resumed', {}))).catch(() => undefined)
            }
          >
            {t(words.goOn)}
          </button>
        ) : (
          <FormKey label={t(words.parkIt)}>
            {(leave) => <ParkForm job={record.row.job} write={write} leave={leave} />}
          </FormKey>
        ))}
    </section>
  )
}

function PlanForm({
  record,
  people,
  write,
  leave,
}: {
  record: JobRecord
  people: ReadonlyMap<string, string>
  write: Write
  leave: () => void
}) {
  const plan = plannedIn(record.held)
  const { draft, of, judged, done } = useDraft<PlanDraft>(
    `plan/${record.row.job}`,
    {
      person: plan.person ?? '',
      promised: plan.promised === null ? '' : localTime(plan.promised),
    },
    leave,
  )
  const act = () => {
    const body = judged(checkPlan(draft, Date.now()))
    return body && write((w) => writePlan(w, body)).then(done)
  }
  return (
    <DeskForm title={t(words.planIt)} submit={t(words.keepIt)} act={act} leave={leave}>
      <Choose
        label={t(words.who)}
        {...of('person')}
        options={[
          { value: '', words: t(words.nobodyYet) },
          ...[...people].map(([value, name]) => ({ value, words: name })),
        ]}
      />
      <Field label={t(words.promisedFor)} type="datetime-local" {...of('promised')} />
    </DeskForm>
  )
}

function ParkForm({ job, write, leave }: { job: string; write: Write; leave: () => void }) {
  const { draft, of, done } = useDraft(`park/${job}`, { why: 'part', part: '', words: '' }, leave)
  const act = () =>
    write((w) => writeParked(w, draft.why, draft.part, draft.words.normalize('NFC').trim())).then(done)
  return (
    <DeskForm title={t(words.parkIt)} submit={t(words.parkIt)} act={act} leave={leave}>
      <Choose
        label={t(words.why)}
        {...of('why')}
        options={PARK_REASONS.map((value) => ({ value, words: capital(reasonWords(value)) }))}
      />
      {draft.why === 'part' && <Field label={t(parking.whichPart)} {...of('part')} />}
      <Field label={t(parking.moreWords)} {...of('words')} />
    </DeskForm>
  )
}
