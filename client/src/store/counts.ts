/** How much is kept where: of an empty phone, and after an act. */
import type { PhotoRow } from './database'
import type { Counts } from './types'

export const nothingYet: Counts = {
  phone: 0,
  workshop: 0,
  backup: 0,
  refused: 0,
  unread: 0,
  openHere: 0,
  photosWaiting: 0,
  bytesWaiting: 0,
}

/** After an act of so many entries, with these photos. `openHere`: by how much it changed the open jobs of this phone. */
export const withMore = (before: Counts, entries: number, openHere: number, photos: PhotoRow[]): Counts => ({
  ...before,
  phone: before.phone + entries,
  openHere: before.openHere + openHere,
  photosWaiting: before.photosWaiting + photos.length,
  bytesWaiting: photos.reduce((sum, { size }) => sum + size, before.bytesWaiting),
})
