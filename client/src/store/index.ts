/** The store's door: screens import from here and nowhere deeper. */
export type {
  BundleRow,
  Counts,
  Device,
  Held,
  Intent,
  JobRow,
  Place,
  Role,
  Store,
  Trouble,
  Writing,
} from './types'
