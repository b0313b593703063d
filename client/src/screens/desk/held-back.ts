/** What is held back of revoked devices: the workshop's answer read, grouped by job, ruled on. Pure but for the hashing. */
import type { HeldDevice, RecordAnswer } from '../../ledger/answers'
import type { Entry } from '../../ledger/entry'
import { parseRecord } from '../../ledger/record'
import type { Build } from './use-writing'
import * as words from '../../words/en/desk/held-back'
import { t } from '../../words/message'

export interface HeldEntry {
  entry: Entry
  received: string
}

/** Of one job, or of the workshop's statements where it is null; in the order of the ledger. */
export interface HeldGroup {
  job: string | null
  entries: HeldEntry[]
}

export type Ruling = 'work.accepted' | 'work.refused'

/** An acceptance and what it releases is one page of the log: more at once would be too long for a poor line. */
const RULED_AT_ONCE = 50

/** Read the records of a device; one that is another's, or cannot be read, is left out: nothing is accepted unseen. */
export async function groupsOf(device: string, records: readonly RecordAnswer[]): Promise<HeldGroup[]> {
  const groups = new Map<string | null, HeldGroup>()
  for (const { record } of records) {
    const read = await parseRecord(record).catch(() => null)
    if (read === null || read.entry.device !== device) continue
    const { job } = read.entry
    const group = groups.get(job) ?? { job, entries: [] }
    group.entries.push({ entry: read.entry, received: read.received })
    groups.set(job, group)
  }
  return [...groups.values()]
}

/** State the ruling on all of them, so many at once. */
export function rulingOn(ruling: Ruling, ids: readonly string[], because: string): Build {
  return async (w) => {
    for (let at = 0; at < ids.length; at += RULED_AT_ONCE) {
      await w.entry(ruling, { entries: ids.slice(at, at + RULED_AT_ONCE), because })
    }
  }
}

/** The line on *Eyes first*; null where nothing waits. */
export function heldWords(devices: readonly Pick<HeldDevice, 'entries'>[]): string | null {
  const entries = devices.reduce((sum, each) => sum + each.entries, 0)
  if (entries === 0) return null
  return t(words.entriesHeld, { entries, devices: devices.length })
}
