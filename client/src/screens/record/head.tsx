/** The head of a job as desk and audit show it: whose vehicle, what must be looked at, where the record is. */
import type { Rooms } from '../rooms'
import { useSecret } from '../secret'
import { stepLink } from './figures'
import { jobPlacesWords } from '../../work/entry-places'
import type { JobRecord } from '../../work/record'
import { sentencesOf, statedSentences, uncertain } from '../../work/sentences'
import { Secret } from './steps'
import { kmWords, timeWords } from '../../work/format'
import * as says from '../../words/en/record/head'
import * as state from '../../words/en/work/state'
import { pieces, t } from '../../words/message'

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
      <dt>{t(says.vehicle)}</dt>
      <dd>{bundle.vehicle}</dd>
      <dt>{t(says.vin)}</dt>
      <dd>
        <Secret {...rooms} of={row.vin} />
      </dd>
      <dt>{t(says.engine)}</dt>
      <dd>
        {row.engineCode}, {kmWords(row.odometerKm)}
      </dd>
      <dt>{t(says.procedure)}</dt>
      <dd>{t(state.edition, { name: bundle.name, edition: bundle.edition })}</dd>
      <dt>{t(says.opened)}</dt>
      <dd>
        {t(says.bay, {
          openedAt: timeWords(row.openedAt),
          bay: row.bay,
          openedBy: people.get(row.openedBy) ?? t(says.nameNotHere),
        })}
      </dd>
      <dt>{t(says.closed)}</dt>
      <dd>
        {closed
          ? `${timeWords(closed.at)}, ${bundle.ends.find(({ id }) => id === closed.body.end)?.name ?? closed.body.end}`
          : t(says.stillOpen)}
      </dd>
      {closed?.body.because && (
        <>
          <dt>{t(says.because)}</dt>
          <dd>
            <Secret {...rooms} of={closed.body.because} />
          </dd>
        </>
      )}
      <dt>{t(says.record)}</dt>
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
            <b>{t(says.recalledTakenOver, { lot: recall.lot })}</b> {recall.because}{' '}
            {because.map((why) => (
              <span key={why.blob}>{pieces(says.becauseOf, { why: <Secret {...rooms} of={why} /> })} </span>
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
    return isDamaged ? null : <p class="d-text">{t(says.nothingAsks)}</p>
  return (
    <ul class="sentences">
      {unsure.map((words) => (
        <li key={words}>
          <b>{t(says.notCertain)}</b> {words}
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
          {stepLink(step.id, t(says.questionOpen, { number: step.number || step.title }))}
        </li>
      ))}
    </ul>
  )
}
