/** Which entries count: what a device says that may not say it, is shown and proves nothing. Pure. */
import type { Held } from '../store'

export const counting = <T extends Pick<Held, 'standing'>>(held: readonly T[]): T[] =>
  held.filter(({ standing }) => standing !== 'doubted')
