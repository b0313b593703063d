/** The viewer of photos, as if it were here: its code comes when the first photo is opened. */
import { chunk, screenOf } from '../chunk'

export const PhotoViewer = screenOf(
  chunk(() => import('./photo-viewer')),
  (its) => its.PhotoViewer,
  () => null,
)
