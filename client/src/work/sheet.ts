/** The hand-over sheet as rows under headings: on a screen, on paper, in an entry, on the customer's own page. Pure. */
import type { Ref } from '../ledger/bodies'

/** `says` in clear; `value`: private words, which can be erased. */
export interface SheetRow {
  under: string
  name: string
  says?: string
  value?: Ref
}

export interface SheetSection<Row> {
  under: string
  rows: Row[]
}

/** Rows by their headings, in the order in which these come first. */
export function sectionsOf<Row extends { under: string }>(rows: readonly Row[]): SheetSection<Row>[] {
  const sections: SheetSection<Row>[] = []
  for (const row of rows) {
    const known = sections.find(({ under }) => under === row.under)
    if (known) known.rows.push(row)
    else sections.push({ under: row.under, rows: [row] })
  }
  return sections
}
