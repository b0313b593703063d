/** Entries as they lie in the store. They were checked when they came in, and are not checked again. */
import { decode } from '../ledger/base64url'
import { asRead, type Entry } from '../ledger/entry'
import { readsAll } from '../ledger/forms'

export function keptEntry(line: string, id: string): Entry {
  const space = line.indexOf(' ')
  const { v: _, ...members } = JSON.parse(line.slice(space + 1)) as { v: 1 } & Omit<
    Entry,
    'id' | 'line' | 'signature'
  >
  return asRead(
    { ...members, id, line, signature: decode(line.slice(0, space)) },
    readsAll(members.kind, members.body),
  )
}
