/** The store is one and the same everywhere, and speaks of a phone. A desk may be any device: what is said there says so. */
import type { Trouble } from './types'

/** Where a sentence is read: `{at, select, desk {this device} other {this phone}}`. */
export type ReadAt = 'engine' | 'desk'

/** A trouble in the words of both. */
export const troubleOf = (
  code: string,
  says: (at: ReadAt) => { message: string; hint: string },
): Trouble => ({ code, ...says('engine'), atDesk: says('desk') })
