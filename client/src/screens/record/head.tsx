/** The head of a job as desk and audit show it: whose vehicle, what must be looked at, where the record is. */
import { Fact } from '../fact'
import type { Rooms } from '../rooms'
import { useSecret } from '../secret'
import { stepLink } from './figures'
import { jobPlacesWords } from '../../work/entry-places'
import { foundSentences } from '../../work/found-sentences'
import type { JobRecord } from '../../work/record'
import { settlingsOf } from '../../work/settled'
import { sentencesOf, statedSentences, uncertain } from '../../work/sentences'
import { Secret } from './steps'
import { dialUnit, dialWords } from '../../work/dial-unit'
import { timeWords } from '../../work/format'
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
      <Fact name={t(says.vehicle)}>{bundle.vehicle}</Fact>
      <Fact name={t(says.vin)}>
        <Secret {...rooms} of={row.vin} />
      </Fact>
      <Fact name={t(says.engine)}>
        {row.engineCode}, {dialWords(row.odometerKm, dialUnit(row.odometerUnit))}
      </Fact>
      <Fact name={t(says.procedure)}>{t(state.edition, { name: bundle.name, edition: bundle.edition })}</Fact>
      <Fact name={t(says.opened)}>
        {t(says.bay, {
          openedAt: timeWords(row.openedAt),
          bay: row.bay,
          openedBy: people.get(row.openedBy) ?? t(says.nameNotHere),
        })}
      </Fact>
      <Fact name={t(says.closed)}>
        {closed
          ? `${timeWords(closed.at)}, ${bundle.ends.find(({ id }) => id === closed.body.end)?.name ?? closed.body.end}`
          : t(says.stillOpen)}
      </Fact>
      {closed?.body.because && (
        <Fact name={t(says.because)}>
          <Secret {...rooms} of={closed.body.because} />
        </Fact>
      )}
      <Fact name={t(says.record)}>{jobPlacesWords(record.held)}</Fact>
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
  // What an owner has settled is told below with the reason, and asks for nobody's eyes any more.
  const isSettled = (code: string) => settlingsOf(record.held, { code, tool: null }).length > 0
  const stated = statedSentences(record).filter(({ code }) => !isSettled(code))
  const sentences = [...stated, ...foundSentences(record), ...sentencesOf(record)]
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
