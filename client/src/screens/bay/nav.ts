/** Goes to places in the bay; `where` reads them. */
import { go } from '../route'

const bayPath = (...parts: string[]): string => ['', 'bay', ...parts.map(encodeURIComponent)].join('/')

export const goBay = (...parts: string[]): void => go(bayPath(...parts))

/** Paths of one job, so that a screen need not know its id. */
export const inJob =
  (job: string) =>
  (...parts: string[]) =>
    goBay('job', job, ...parts)
