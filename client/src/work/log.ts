/** A job's entries as the fold reads them. */
import type { LogEntry } from '../procedure/log'
import type { Held } from '../store'

export const logEntries = (held: readonly Held[]): LogEntry[] =>
  held.map(({ entry, standing }) => ({
    id: entry.id,
    after: entry.after,
    kind: entry.kind,
    body: entry.body as unknown as LogEntry['body'],
    standing,
    person: entry.person,
    device: entry.device,
  }))
