/** The pages of photos, as if they were here: their code comes when one is opened, into the page that frames them. */
import { chunk, screenOf } from './chunk'

export const Photos = screenOf(
  chunk(() => import('./photos')),
  (its) => its.Photos,
  () => null,
)
