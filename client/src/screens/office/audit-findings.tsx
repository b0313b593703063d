/** An auditor's findings with what was said to them, as desk and audit read them. */
import type { ComponentChildren } from 'preact'
import { auditFindingsOf, type AuditAnswer, type AuditFinding } from '../../work/audits'
import { timeWords } from '../../work/format'
import { namesWords, usePeople } from '../names'
import type { Rooms } from '../rooms'
import { useSecret } from '../secret'
import { useAudits } from './audits'
import { FormKey } from './form-key'
import { PageHead } from './shell'
import { Ask } from './write-words'
import * as says from '../../words/en/office/audit-findings'
import { pieces, t } from '../../words/message'

interface FindingsProps extends Rooms {
  findings: readonly AuditFinding[]
  /** The address of a job in this room. */
  jobHref: (job: string) => string
  /** What this reader may do with one. */
  acts: (finding: AuditFinding) => ComponentChildren
}

interface PageProps extends Pick<FindingsProps, 'jobHref' | 'acts'> {
  title: string
  /** What stands between the heading and the findings. */
  children: ComponentChildren
}

/** All findings of the workshop, under how many of them are open. */
export function FindingsPage({ title, children, jobHref, acts, ...rooms }: Rooms & PageProps) {
  const statements = useAudits(rooms)
  if (statements === null) return <p role="status" />
  const findings = auditFindingsOf(statements)
  return (
    <>
      <PageHead title={title}>
        {t(says.open, { n: findings.filter(({ closed }) => !closed).length })}
      </PageHead>
      {children}
      <AuditFindings {...rooms} findings={findings} jobHref={jobHref} acts={acts} />
    </>
  )
}

export function AuditFindings({ findings, jobHref, acts, ...rooms }: FindingsProps) {
  const people = usePeople(rooms)
  if (findings.length === 0) return <p class="d-text">{t(says.none)}</p>
  return (
    <ul class="plain-list audit-findings">
      {findings.map((one) => (
        <li key={one.id} class="question-row">
          <p class="d-small">
            {t(says.found, { at: timeWords(one.at), who: namesWords([one.person], people) })},{' '}
            {one.about === null
              ? t(says.ofWorkshop)
              : pieces(says.ofJob, {
                  job: (
                    <a class="beside-job" href={jobHref(one.about)}>
                      {t(says.aJob)}
                    </a>
                  ),
                })}
          </p>
          <Said {...rooms} of={one} />
          {one.answers.map((answer) => (
            <div key={answer.id}>
              <p class="d-small">
                {t(says.answered, { at: timeWords(answer.at), who: namesWords([answer.person], people) })}
              </p>
              <Said {...rooms} of={answer} />
            </div>
          ))}
          <Standing {...rooms} finding={one} people={people} />
          {!one.closed && acts(one)}
        </li>
      ))}
    </ul>
  )
}

function Standing({
  finding: { closed, answers },
  people,
  ...rooms
}: Rooms & { finding: AuditFinding; people: ReadonlyMap<string, string> }) {
  if (!closed) return <p class="act-words">{answers.length === 0 ? t(says.noAnswer) : t(says.stillOpen)}</p>
  return (
    <>
      <p class="d-small">
        {t(says.closed, {
          at: timeWords(closed.at),
          who: namesWords([closed.person], people),
          saysMore: closed.text !== null,
        })}
      </p>
      {closed.text !== null && <Said {...rooms} of={closed} />}
    </>
  )
}

function Said({ of, ...rooms }: Rooms & { of: AuditAnswer }) {
  const words = useSecret(rooms, of.text ?? undefined)
  return <p>{words ?? t(says.notHere)}</p>
}

interface SayProps extends Rooms {
  finding: AuditFinding
  /** The workshop answers, the auditor closes. */
  kind: 'audit.answered' | 'audit.closed'
  opens: string
  label: string
  submit: string
}

/** A key, and in its place the words that are stated to a finding, until they are or are left. */
export function SayToFinding({ finding: { id, about }, kind, opens, label, submit, store }: SayProps) {
  const say = (typed: string) =>
    store.write(null, async (w) => {
      const text = await w.secret('words', typed)
      await w.entry(kind, { finding: id, text, ...(about === null ? {} : { about }) })
    })
  return (
    <FormKey stands="in-row" label={opens}>
      {(leave) => (
        <Ask
          draft={`${kind}/${id}`}
          label={label}
          submit={submit}
          send={(typed) => say(typed).then(leave)}
          leave={leave}
        />
      )}
    </FormKey>
  )
}
