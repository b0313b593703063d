/** What the parts of the store that sync works with have in common. */
import type { Database } from './database'
import type { Keeper } from './keeper'
import type { Trouble } from './types'

export interface Inside {
  db: Database
  keeper: Keeper
  now: () => Date
  /** Something kept has changed. */
  stirred: () => Promise<void>
  /** Do it in turn with what is written here: nothing is added to what is being let go of. */
  alone: (act: () => Promise<void>) => Promise<void>
  /** Say something that stands until it is dismissed. */
  announce: (trouble: Trouble) => Promise<void>
}
