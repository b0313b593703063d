/** Where a job's entries are: each at the farthest place it has reached; other phones' entries came from the workshop. */
import type { Held } from '../store'
import type { PlaceCounts } from './shown'

export function jobPlaces(held: readonly Held[]): PlaceCounts {
  const count = (place: Held['place']) => held.filter((each) => each.place === place).length
  return { phone: count('phone'), workshop: count('workshop'), backup: count('backup') }
}

/** In one sentence, each place under its own name. */
export function jobPlacesWords(held: readonly Held[]): string {
  const { phone: here, workshop, backup } = jobPlaces(held)
  const parts = [`${workshop + backup} entries in the workshop`, `${backup} of them backed up`]
  if (here > 0) parts.push(`${here} in this browser only`)
  return parts.join(', ')
}
