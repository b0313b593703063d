/** A record: an entry as it was received. Twin of record.py. */
import { parseEntry, type Entry } from './entry'
import { LedgerError } from './errors'
import { forms } from './forms'
import { leafHash } from './tree'
import * as words from '../words/en/ledger/record'
import { t } from '../words/message'

/** `offsetMs`: device clock minus server clock; null if it was not measured. */
export interface Record {
  readonly text: string
  readonly received: string
  readonly offsetMs: number | null
  readonly entry: Entry
}

const FORM = new RegExp(`^(${forms.at}) (\\?|\\+0|[+-][1-9][0-9]{0,14}) ([^]*)$`)

/**
 * Read a record.
 *
 * @throws {LedgerError} `bad-record`, or as `parseEntry` of its line.
 */
export async function parseRecord(text: string): Promise<Record> {
  const form = FORM.exec(text)
  if (!form) {
    throw new LedgerError(
      'bad-record',
      t(words.notARecord, { text: `'${text.slice(0, 60)}'` }),
      t(words.notARecordHint),
    )
  }
  const [, received, offset, line] = form as unknown as [string, string, string, string]
  return { text, received, offsetMs: offset === '?' ? null : Number(offset), entry: await parseEntry(line) }
}

/** The record's leaf in the tree. */
export function leafOf(record: Record): Promise<Uint8Array<ArrayBuffer>> {
  return leafHash(new TextEncoder().encode(record.text))
}
