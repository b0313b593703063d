/** Where a job's entries are, in one sentence, each place under its own name. */
import type { Held } from '../store'

export function jobPlacesWords(held: readonly Held[]): string {
  const count = (place: Held['place']) => held.filter((each) => each.place === place).length
  const [here, workshop, backup] = [count('phone'), count('workshop'), count('backup')]
  const parts = [`${workshop + backup} entries in the workshop`, `${backup} of them backed up`]
  if (here > 0) parts.push(`${here} in this browser only`)
  return parts.join(', ')
}
