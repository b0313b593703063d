/** What auditors found, and what the workshop says to it. */
import { auditFindingsOf, unanswered, type AuditFinding } from '../../work/audits'
import { FindingsPage, SayToFinding } from '../office/audit-findings'
import { useAudits } from '../office/audits'
import { jobHref } from '../record/links'
import type { Rooms } from '../rooms'
import * as words from '../../words/en/desk/audit-findings'
import { t } from '../../words/message'

/** For the page of what needs eyes first: what waits for an answer, in words; null where nothing does. */
export function useUnanswered(rooms: Rooms): string | null {
  const n = unanswered(auditFindingsOf(useAudits(rooms) ?? [])).length
  return n === 0 ? null : t(words.wait, { n })
}

export function AnswerFindings(rooms: Rooms) {
  const answering = (finding: AuditFinding) =>
    rooms.store.writer.value && (
      <SayToFinding
        {...rooms}
        finding={finding}
        kind="audit.answered"
        opens={t(words.answer)}
        label={t(words.whatYouSay)}
        submit={t(words.state)}
      />
    )
  return (
    <FindingsPage {...rooms} title={t(words.title)} jobHref={jobHref} acts={answering}>
      <p class="d-text">{t(words.means)}</p>
    </FindingsPage>
  )
}
