/**
 * What a photo of the record is evidence of: whose device took it, by which clock, and in two sentences what it proves
 * and what it does not. Pure.
 */
import type { Held } from '../store'
import type { PhotoRecord } from './record'
import { peopleOf, type DeviceSeen } from './statements'
import * as words from '../words/en/work/photo-facts'
import { t } from '../words/message'

/** The device that signed it, as the statements have it; null where none of them lets it in. */
export function deviceOf(statements: readonly Held[], device: string): DeviceSeen | null {
  const devices = peopleOf(statements, '').flatMap((person) => person.devices)
  return devices.find((each) => each.device === device) ?? null
}

/** The stamp of a record, `RECEIVED SP OFFSET SP LINE`: when it came in, and what the device's clock was off by then. */
export interface Stamp {
  received: string
  /** The device's clock less the workshop's, ms; null where it was not measured. */
  offsetMs: number | null
}

export function stampOf(record: string): Stamp {
  const [received = '', offset = '?'] = record.split(' ', 2)
  return { received, offsetMs: offset === '?' ? null : Number(offset) }
}

/** By how much the device's clock was off: it names no time of its own, only that of its entries. */
export function clockWords({ offsetMs }: Stamp): string {
  if (offsetMs === null) return t(words.clockNotMeasured)
  const seconds = Math.abs(offsetMs) / 1000
  if (seconds < 1) return t(words.clockWasRight)
  const said =
    seconds < 120
      ? t(words.seconds, { n: Math.round(seconds) })
      : t(words.minutes, { n: Math.round(seconds / 60) })
  return t(words.clockWasOff, { by: said, isAhead: offsetMs > 0 })
}

/** Whether the bytes that are looked at hashed to what was signed: not asked yet, they do, they do not, they are not here. */
export type Compared = 'coming' | 'same' | 'damaged' | 'not-here'

/** What it proves, and what it does not: two sentences. */
export function proofWords(
  { held, body }: Pick<PhotoRecord, 'held' | 'body'>,
  compared: Compared,
): { proves: string; not: string } {
  const isPicked = body.how === 'picked'
  if (compared === 'damaged') return { proves: t(words.damagedProves), not: t(words.damagedNot) }
  if (held.index === null) return { proves: t(words.notReceivedProves), not: t(words.notReceivedNot) }
  if (held.standing !== 'good')
    return { proves: t(words.oddProves[held.standing]), not: t(words.oddNot, { isPicked }) }
  const proves = compared === 'same' ? t(words.proves) : t(words.recordProves)
  return { proves, not: t(words.provesNot, { isPicked }) }
}
