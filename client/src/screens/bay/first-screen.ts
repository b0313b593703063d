/** The bay's first screen stands: what it does not show may be read from then on. */
import { whereOf } from './address'

const AT_MOST_MS = 2_000

let stands: () => void = () => undefined
const standing = new Promise<void>((resolve) => {
  stands = resolve
})

export const firstScreenStands = (): void => stands()

/**
 * What the rest of a start waits for, by the address that is opened; null where the first screen shows how much there
 * is on the phone. A screen that does not come must not keep the phone from looking at what it holds.
 */
export function firstScreen(hash: string): Promise<void> | null {
  if (whereOf(hash).at !== 'job') return null
  return Promise.race([standing, new Promise<void>((resolve) => setTimeout(resolve, AT_MOST_MS))])
}
