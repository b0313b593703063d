/** The facts for an invoice: a table a section, and the same as a file for the books. */
import type { Ref } from '../../ledger/bodies'
import { csvText } from '../../work/csv'
import { invoiceFacts, invoiceTable, type Fact } from '../../work/invoice'
import { jobCode } from '../../work/job-code'
import type { JobRecord } from '../../work/record'
import { sectionsOf } from '../../work/sheet'
import { timeWords } from '../../work/format'
import { Secret } from '../record/steps'
import type { Rooms } from '../rooms'
import { saveFile } from '../save-file'
import { secretWords } from '../secret'
import * as words from '../../words/en/paper/invoice'
import { t } from '../../words/message'

/** The words of every private value, as far as they are here. */
async function textsOf(rooms: Rooms, refs: readonly Ref[]): Promise<Map<string, string>> {
  const texts = await Promise.all(refs.map(async (ref) => [ref.blob, await secretWords(rooms, ref)] as const))
  return new Map(texts.map(([blob, text]) => [blob, text ?? t(words.notHere)]))
}

async function saveCsv(rooms: Rooms, record: JobRecord, facts: readonly Fact[]): Promise<void> {
  const texts = await textsOf(
    rooms,
    facts.flatMap(({ value }) => value ?? []),
  )
  const table = invoiceTable(facts, ({ blob }) => texts.get(blob) ?? '')
  const file = new Blob([csvText(table)], { type: 'text/csv;charset=utf-8;header=present' })
  saveFile(file, `two-turns-${jobCode(record.row.job)}.csv`)
}

export function InvoicePaper({ record, ...rooms }: Rooms & { record: JobRecord }) {
  const facts = invoiceFacts(record)
  return (
    <>
      <header class="paper-head">
        <h1>{t(words.title)}</h1>
        <p>{t(words.noPrices)}</p>
      </header>
      <p class="paper-save">
        <button type="button" class="side-key t-key" onClick={() => void saveCsv(rooms, record, facts)}>
          {t(words.saveCsv)}
        </button>
        <span>{t(words.csvRule)}</span>
      </p>
      {sectionsOf(facts.map((each) => ({ ...each, under: each.section }))).map(({ under, rows }) => (
        <section class="sheet-part" key={under}>
          <h2>{under}</h2>
          <table class="invoice-table">
            <thead class="unseen">
              <tr>
                <th>{t(words.item)}</th>
                <th>{t(words.which)}</th>
                <th>{t(words.howMuch)}</th>
              </tr>
            </thead>
            <tbody>
              {rows.map((each, at) => (
                <FactRow key={at} {...rooms} fact={each} />
              ))}
            </tbody>
          </table>
        </section>
      ))}
    </>
  )
}

function FactRow({ fact, ...rooms }: Rooms & { fact: Fact }) {
  const { item, article, lot, quantity, unit, from, to, says, value } = fact
  const times = [from, to].filter(Boolean).map(timeWords).join(' – ')
  const which = [article && t(words.article, { article }), lot && t(words.lot, { lot }), says]
  return (
    <tr>
      <th scope="row">{item}</th>
      <td>
        <span class="sheet-line">{which.filter(Boolean).join(', ')}</span>
        {value && (
          <span class="sheet-line">
            <Secret {...rooms} of={value} fallback={t(words.notHere)} />
          </span>
        )}
        {times && <span class="sheet-line invoice-times">{times}</span>}
      </td>
      <td class="invoice-figure">{[quantity, unit].filter(Boolean).join(' ')}</td>
    </tr>
  )
}
