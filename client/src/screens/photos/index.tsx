/** The pages of photos, for desk and audit: across jobs, and all of one job. */
import { PhotosAcross } from './across'
import { PhotosOfJob } from './of-job'
import type { PhotoActs } from '../record/photo-viewer'
import type { Rooms } from '../rooms'

const isJob = (item: string): boolean => /^[0-9a-f]{8}-[0-9a-f-]{27}$/.test(item)

export function Photos({
  item,
  ...props
}: Rooms & { room: 'desk' | 'audit'; item: string | null; acts?: PhotoActs }) {
  if (item !== null && isJob(item)) return <PhotosOfJob key={item} {...props} job={item} />
  return <PhotosAcross {...props} item={item} />
}
