/** Who may do what: permits of a person, given until a day, ended with a reason; and all people against all permits. */
import { useState } from 'preact/hooks'
import type { Held } from '../../store'
import { isoDay, dayWords } from '../../work/format'
import {
  lapsing,
  permitName,
  PERMITS,
  permitsOf,
  permitsOn,
  permitWords,
  type Permit,
} from '../../work/permits'
import { Choose } from '../office/choose'
import { DocumentKey } from '../office/document'
import { Heads } from '../office/heads'
import { useStatements } from '../office/from-store'
import { namesWords, usePeople } from '../names'
import type { Rooms } from '../rooms'
import { BecauseForm, stating } from './because'
import { documentOf, FileField, fileFault } from './file-field'
import { FormKey } from '../office/form-key'
import { DeskForm, Field } from './form'
import { checkPermit, type PermitDraft } from './permit-draft'
import { useDraft } from './use-draft'
import { useWriting } from './use-writing'
import * as says from '../../words/en/desk/permits'
import { t } from '../../words/message'

interface PermitsProps extends Rooms {
  statements: readonly Held[]
  person: string
  name: string
}

export function Permits({ statements, person, name, ...rooms }: PermitsProps) {
  const today = isoDay(new Date())
  const mine = permitsOf(statements).filter((permit) => permit.person === person)
  const canWrite = rooms.store.writer.value
  return (
    <>
      <h3 class="person-head">{t(says.permits)}</h3>
      {mine.length === 0 && <p class="d-text">{t(says.none)}</p>}
      <ul class="plain-list">
        {mine.map((permit) => (
          <li key={permit.entry}>
            <p class={isOver(permit, today) ? 'act-words' : ''}>
              {t(says.permit, { permit: permitName(permit.permit), stands: permitWords(permit, today) })}
            </p>
            {permit.document && (
              <DocumentKey
                {...rooms}
                of={permit.document}
                name={t(says.fileName, { permit: permitName(permit.permit), on: permit.on })}
              />
            )}
            {permit.ended === null && canWrite && <End {...rooms} permit={permit} name={name} />}
          </li>
        ))}
      </ul>
      {canWrite && (
        <FormKey label={t(says.give)}>
          {(leave) => <GiveForm {...rooms} person={person} name={name} mine={mine} leave={leave} />}
        </FormKey>
      )}
    </>
  )
}

const isOver = ({ until, ended }: Permit, today: string): boolean =>
  ended === null && until !== null && until < today

function End({ permit, name, ...rooms }: Rooms & { permit: Permit; name: string }) {
  const what = permitName(permit.permit)
  return (
    <FormKey label={t(says.endPermit, { permit: what })}>
      {(leave) => (
        <BecauseForm
          {...rooms}
          title={t(says.endOf, { permit: what, name })}
          submit={t(says.endIt)}
          means={t(says.endMeans)}
          hint={t(says.whyHint)}
          state={stating('permit.ended', { permit: permit.entry })}
          leave={leave}
        />
      )}
    </FormKey>
  )
}

interface GiveProps extends Rooms {
  person: string
  name: string
  mine: readonly Permit[]
  leave: () => void
}

function GiveForm({ person, name, mine, leave, ...rooms }: GiveProps) {
  const { write } = useWriting(rooms, null)
  const start = { permit: PERMITS[0]!.id, on: '', until: '' }
  const { draft, of, judged, done } = useDraft<PermitDraft>(`permit/${person}`, start, leave)
  const [file, setFile] = useState<File | null>(null)
  const act = () => {
    const body = judged(checkPermit(draft, mine, isoDay(new Date())))
    if (!body || fileFault(file) !== undefined) return null
    return write(async (w) => {
      const document = file ? { document: await documentOf(w, file) } : {}
      await w.entry('permit.given', { person, ...body, ...document })
    }).then(done)
  }
  return (
    <DeskForm title={t(says.giveTo, { name })} submit={t(says.giveIt)} act={act} leave={leave}>
      <p class="d-text">{t(says.giveMeans)}</p>
      <Choose
        label={t(says.whatFor)}
        {...of('permit')}
        options={PERMITS.map(({ id, name }) => ({ value: id, words: name }))}
      />
      <Field label={t(says.from)} type="date" {...of('on')} />
      <Field label={t(says.until)} hint={t(says.untilHint)} type="date" {...of('until')} />
      <FileField
        label={t(says.proof)}
        hint={t(says.proofHint)}
        file={file}
        fault={fileFault(file)}
        onFile={setFile}
      />
    </DeskForm>
  )
}

/** All people against all permits that anybody was ever given: who may do what today. */
export function WhoMayDoWhat({
  statements,
  people,
}: {
  statements: readonly Held[]
  people: ReadonlyMap<string, string>
}) {
  const today = isoDay(new Date())
  const permits = permitsOf(statements)
  if (permits.length === 0) return null
  const kinds = [...new Set(permits.map(({ permit }) => permit))]
  const persons = [...new Set(permits.map(({ person }) => person))]
  return (
    <section>
      <h2 class="phase-head">{t(says.whoMayDoWhat)}</h2>
      <Lapsing permits={permits} people={people} today={today} />
      <div class="wide-table" tabIndex={0} role="region" aria-label={t(says.whoMayDoWhat)}>
        <table class="figures-table">
          <Heads names={[t(says.who), ...kinds.map(permitName)]} />
          <tbody>
            {persons.map((person) => (
              <tr key={person}>
                <th scope="row">{namesWords([person], people)}</th>
                {kinds.map((kind) => (
                  <td key={kind}>{mayWords(permitsOn(statements, person, today), kind)}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  )
}

function mayWords(held: readonly Permit[], kind: string): string {
  const one = held.find(({ permit }) => permit === kind)
  if (!one) return t(says.mayNot)
  return one.until === null ? t(says.may) : t(says.mayUntil, { until: dayWords(one.until) })
}

function Lapsing({
  permits,
  people,
  today,
}: {
  permits: readonly Permit[]
  people: ReadonlyMap<string, string>
  today: string
}) {
  return (
    <>
      {lapsing(permits, today).map((permit) => (
        <p key={permit.entry} class="act-words">
          {t(says.lapses, {
            name: namesWords([permit.person], people),
            permit: permitName(permit.permit),
            stands: permitWords(permit, today),
          })}
        </p>
      ))}
    </>
  )
}

/** Beside a plan: which permits of the one who is to do it are over, or soon are. */
export function LapsingOf({ person, ...rooms }: Rooms & { person: string }) {
  const statements = useStatements(rooms)
  const people = usePeople(rooms)
  if (statements === null) return null
  const mine = permitsOf(statements).filter((permit) => permit.person === person)
  return <Lapsing permits={mine} people={people} today={isoDay(new Date())} />
}

/** For the first page: what lapses, in a sentence each. */
export const lapsingLines = (
  statements: readonly Held[],
  people: ReadonlyMap<string, string>,
  today: string,
): string[] =>
  lapsing(permitsOf(statements), today).map((permit) =>
    t(says.lapses, {
      name: namesWords([permit.person], people),
      permit: permitName(permit.permit),
      stands: permitWords(permit, today),
    }),
  )
