/**
 * A table as a CSV file that a spreadsheet opens, whatever people typed into its cells.
 * The twin of `server/twoturns/trade/csv_text.py`, which says the rules and names the sources.
 */

/** Says that it is UTF-8. */
const MARK = '\ufeff'
/** A spreadsheet would run what begins so as a formula. */
const RUNS = /^[=+\-@\t\r\n\uff1d\uff0b\uff0d\uff20]/
const NUMBER = /^-?[0-9]+(\.[0-9]+)?$/

function field(cell: string): string {
  const text = RUNS.test(cell) && !NUMBER.test(cell) ? `'${cell}` : cell
  return /[,"\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text
}

export const csvText = (rows: readonly (readonly string[])[]): string =>
  MARK + rows.map((row) => `${row.map(field).join(',')}\r\n`).join('')
