/** The hand-over sheet, as it is read and printed. */
import { footWords, handOver } from '../../work/hand-over'
import { dayWords, isoDay } from '../../work/format'
import { agreedSince } from '../../work/agreed-since'
import { handOverStep } from '../../work/last-signature'
import { jobCode } from '../../work/job-code'
import type { JobRecord } from '../../work/record'
import { Code } from '../../parts/qr'
import { Secret } from '../record/steps'
import type { Rooms } from '../rooms'
import { useSecret } from '../secret'
import { handedBy } from './by'
import { madeCodes } from './codes'
import { openPages } from '../../work/customer-page'
import { SheetRows } from './sheet-rows'
import * as words from '../../words/en/paper/sheet'
import { t } from '../../words/message'

export function SheetPaper({ record, ...rooms }: Rooms & { record: JobRecord }) {
  const by = handedBy(rooms)
  return (
    <>
      <header class="paper-head">
        <h1>{t(words.title, { workshop: by.workshopName })}</h1>
        <p>{t(words.code, { code: jobCode(record.row.job) })}</p>
      </header>
      <SheetRows
        rows={handOver(record, by)}
        wordsOf={({ value }) => value && <Secret {...rooms} of={value} fallback={t(words.notHere)} />}
      />
      <Signed {...rooms} record={record} />
      <CustomersCode record={record} />
      <p class="paper-caution">{t(words.caution)}</p>
      <p class="paper-foot">{footWords(record, by)}</p>
    </>
  )
}

/** What the customer signed at the hand-over, once that is done. */
function Signed({ record, ...rooms }: Rooms & { record: JobRecord }) {
  const last = handOverStep(record.bundle)
  const signed = record.steps.find(({ step }) => step.id === last)?.signatures.at(-1)
  const path = useSecret(rooms, signed?.text)
  if (!signed) return <p class="paper-sign">{t(words.signHere)}</p>
  return (
    <figure class="paper-signed">
      {path === null ? (
        <p>{t(words.signatureGone)}</p>
      ) : (
        <svg viewBox="0 0 332 200" role="img" aria-label={signed.label}>
          <path d={path} fill="none" stroke="currentColor" stroke-width="3" stroke-linecap="round" />
        </svg>
      )}
      <figcaption>{signed.label}</figcaption>
      {agreedSince(record) && <p>{t(words.agreedSince)}</p>}
    </figure>
  )
}

/** The code of the customer's own page, where this browser has just made it, and it is not ended. */
function CustomersCode({ record }: { record: JobRecord }) {
  const code = madeCodes.value.get(record.row.job)
  const isOpen = openPages(record.held, new Date()).some(({ entry }) => entry === code?.entry)
  if (code === undefined || !isOpen) return null
  return (
    <div class="paper-code">
      <Code text={code.link} />
      <p>{t(words.scan, { until: dayWords(isoDay(new Date(code.until))) })}</p>
    </div>
  )
}
