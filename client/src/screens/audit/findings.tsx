/** The auditor's own findings: written, answered by the workshop, closed by the auditor. */
import { auditFindingsOf, type AuditFinding } from '../../work/audits'
import { AuditFindings, FindingsPage, SayToFinding } from '../office/audit-findings'
import { useAudits } from '../office/audits'
import { FormKey } from '../office/form-key'
import { Ask } from '../office/write-words'
import { jobHref } from '../record/links'
import type { Rooms } from '../rooms'
import * as words from '../../words/en/audit/findings'
import { t } from '../../words/message'

/** Whether this device is an auditor's, and this tab the one that writes. */
export const mayWrite = ({ store }: Rooms): boolean =>
  store.device.value?.role === 'auditor' && store.writer.value

export const Findings = (rooms: Rooms) => (
  <FindingsPage {...rooms} title={t(words.title)} jobHref={jobHref} acts={closingOf(rooms)}>
    <WriteFinding {...rooms} of={{}} />
  </FindingsPage>
)

/** Those about one job, on its own page. */
export function FindingsOfJob({ job, ...rooms }: Rooms & { job: string }) {
  const found = auditFindingsOf(useAudits(rooms) ?? []).filter(({ about }) => about === job)
  return (
    <section>
      {found.length > 0 && (
        <>
          <h2 class="phase-head">{t(words.inThisJob)}</h2>
          <AuditFindings {...rooms} findings={found} jobHref={jobHref} acts={closingOf(rooms)} />
        </>
      )}
      <WriteFinding {...rooms} of={{ about: job }} />
    </section>
  )
}

/** What a finding is about: a job, a sample by its freeze, or neither: the workshop. */
interface About {
  about?: string
  freeze?: string
}

function labelsOf({ about, freeze }: About): { key: string; field: string } {
  if (about !== undefined) return { key: t(words.writeAbout), field: t(words.ofJob) }
  if (freeze !== undefined) return { key: t(words.writeOfSample), field: t(words.ofSample) }
  return { key: t(words.write), field: t(words.ofWorkshop) }
}

export function WriteFinding({ of, ...rooms }: Rooms & { of: About }) {
  if (!mayWrite(rooms)) return null
  const { key, field } = labelsOf(of)
  const state = (typed: string) =>
    rooms.store.write(null, async (w) => {
      const text = await w.secret('words', typed)
      await w.entry('audit.found', { ...of, text })
    })
  return (
    <FormKey label={key}>
      {(leave) => (
        <>
          <p class="d-text">{t(words.means)}</p>
          <Ask
            draft={`finding/${of.about ?? of.freeze ?? ''}`}
            label={field}
            submit={t(words.state)}
            send={(typed) => state(typed).then(leave)}
            leave={leave}
          />
        </>
      )}
    </FormKey>
  )
}

const closingOf = (rooms: Rooms) => (finding: AuditFinding) =>
  mayWrite(rooms) ? (
    <SayToFinding
      {...rooms}
      finding={finding}
      kind="audit.closed"
      opens={t(words.close)}
      label={t(words.closing)}
      submit={t(words.close)}
    />
  ) : null
