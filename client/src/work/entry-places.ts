/** Where a job's entries are: each at the farthest place it has reached; other phones' entries came from the workshop. */
import type { Held } from '../store'
import type { PlaceCounts } from './shown'
import * as words from '../words/en/work/entry-places'
import { t } from '../words/message'

export function jobPlaces(held: readonly Held[]): PlaceCounts {
  const count = (place: Held['place']) => held.filter((each) => each.place === place).length
  return { phone: count('phone'), workshop: count('workshop'), backup: count('backup') }
}

/** In one sentence, each place under its own name. */
export function jobPlacesWords(held: readonly Held[]): string {
  const { phone: here, workshop, backup } = jobPlaces(held)
  const parts = [
    t(words.entriesInTheWorkshop, { workshop: workshop + backup }),
    t(words.alsoBackedUp, { backup }),
  ]
  if (here > 0) parts.push(t(words.inThisBrowserOnly, { here }))
  return parts.join(', ')
}
