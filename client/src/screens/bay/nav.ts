/** Where in the bay: the address after `#/bay`, read and written in one place so that the phone's back key works. */
import { go } from '../route'

export type Where =
  | { at: 'jobs' | 'open' | 'settings' | 'places' }
  | { at: 'job'; job: string; screen: string; parts: string[] }

const PLAIN = ['open', 'settings', 'places'] as const

export function whereOf(hash: string): Where {
  const [, room, first, job, screen = '', ...parts] = hash.replace(/^#/, '').split('/').map(decodeURIComponent)
  if (room === 'bay' && first === 'job' && job) return { at: 'job', job, screen, parts }
  return { at: PLAIN.find((name) => room === 'bay' && name === first) ?? 'jobs' }
}

export const bayPath = (...parts: string[]): string => ['', 'bay', ...parts.map(encodeURIComponent)].join('/')

export const goBay = (...parts: string[]): void => go(bayPath(...parts))

/** Paths of one job, so that a screen need not know its id. */
export const inJob = (job: string) => (...parts: string[]) => goBay('job', job, ...parts)
