/** Where in the bay: the address after `#/bay`, read in one place so that the phone's back key works. */

export type Where =
  | { at: 'jobs' | 'open' | 'settings' | 'places' }
  | { at: 'job'; job: string; screen: string; parts: string[] }

const PLAIN = ['open', 'settings', 'places'] as const

export function whereOf(hash: string): Where {
  const [, room, first, job, screen = '', ...parts] = hash
    .replace(/^#/, '')
    .split('/')
    .map(decodeURIComponent)
  if (room === 'bay' && first === 'job' && job) return { at: 'job', job, screen, parts }
  return { at: PLAIN.find((name) => room === 'bay' && name === first) ?? 'jobs' }
}
