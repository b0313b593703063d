/** The head of a job as desk and audit show it: whose vehicle, what must be looked at, where the record is. */
import type { Rooms } from '../rooms'
import { useSecret } from '../secret'
import { stepLink } from './figures'
import { jobPlacesWords } from '../../work/entry-places'
import type { JobRecord } from '../../work/record'
import { sentencesOf, statedSentences, uncertain } from '../../work/sentences'
import { Secret } from './steps'
import { kmWords, timeWords } from '../../work/format'

/** What the job is called: the plate, once it is here. */
export function JobName({ record, ...rooms }: Rooms & { record: JobRecord }) {
  return <>{useSecret(rooms, record.row.plate) ?? record.bundle.vehicle}</>
}

export function VehicleFacts({
  record,
  people,
  ...rooms
}: Rooms & { record: JobRecord; people: ReadonlyMap<string, string> }) {
  const { row, bundle, closed } = record
  return (
    <dl class="facts-list">
      <dt>Vehicle</dt>
      <dd>{bundle.vehicle}</dd>
      <dt>VIN</dt>
      <dd>
        <Secret {...rooms} of={row.vin} />
      </dd>
      <dt>Engine</dt>
      <dd>
        {row.engineCode}, {kmWords(row.odometerKm)}
      </dd>
      <dt>Procedure</dt>
      <dd>
        {bundle.name}, edition {bundle.edition}
      </dd>
      <dt>Opened</dt>
      <dd>
        {timeWords(row.openedAt)}, bay {row.bay}, {people.get(row.openedBy) ?? 'name not here'}
      </dd>
      <dt>Closed</dt>
      <dd>
        {closed
          ? `${timeWords(closed.at)}, ${bundle.ends.find(({ id }) => id === closed.body.end)?.name ?? closed.body.end}`
          : 'still open'}
      </dd>
      {closed?.body.because && (
        <>
          <dt>Because</dt>
          <dd>
            <Secret {...rooms} of={closed.body.because} />
          </dd>
        </>
      )}
      <dt>Record</dt>
      <dd>{jobPlacesWords(record.held)}</dd>
    </dl>
  )
}

/** A recalled part that stays in, on the owner's word. */
function TakenOver({ record, ...rooms }: Rooms & { record: JobRecord }) {
  return (
    <>
      {record.recalled
        .filter(({ borne }) => borne.length > 0)
        .map(({ recall, because }) => (
          <li key={`taken ${recall.entry}`}>
            <b>Lot {recall.lot} is recalled, and the owner took it over.</b> {recall.because}{' '}
            {because.map((why) => (
              <span key={why.blob}>
                Because: <Secret {...rooms} of={why} />{' '}
              </span>
            ))}
          </li>
        ))}
    </>
  )
}

/** `isDamaged`: what was found on the workshop's disk stands above this, and asks for eyes. */
export function EyesFirst({
  record,
  isDamaged,
  ...rooms
}: Rooms & { record: JobRecord; isDamaged: boolean }) {
  const sentences = [...statedSentences(record), ...sentencesOf(record)]
  const unsure = uncertain(record)
  const asked = record.steps.flatMap((step) =>
    step.questions.filter(({ settled }) => !settled).map(() => step),
  )
  const isTaken = record.recalled.some(({ borne }) => borne.length > 0)
  if (sentences.length + unsure.length + asked.length === 0 && !isTaken)
    return isDamaged ? null : <p class="d-text">Nothing in this job asks for eyes.</p>
  return (
    <ul class="sentences">
      {unsure.map((words) => (
        <li key={words}>
          <b>Not certain.</b> {words}
        </li>
      ))}
      {sentences.map(({ step, fact, because }) => {
        const target = step === null ? undefined : record.bundle.steps[step]?.id
        return (
          <li key={`${fact} ${because}`}>
            {target === undefined ? <b>{fact}.</b> : stepLink(target, `${fact}.`)} {because}
          </li>
        )
      })}
      <TakenOver {...rooms} record={record} />
      {asked.map(({ step }) => (
        <li key={`asked ${step.id}`}>
          {stepLink(step.id, `${step.number || step.title}: a question waits for its answer.`)}
        </li>
      ))}
    </ul>
  )
}
