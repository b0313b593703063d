/** Where in the bay: the address after `#/bay`, read in one place so that the phone's back key works. */

export type Where =
  | { at: 'open' | 'call'; parts: (string | undefined)[] }
  | { at: 'jobs' | 'settings' | 'places' | 'closed' }
  | { at: 'job'; job: string; screen: string; parts: string[] }

/** The screen of a job that an address shows: once it is closed its steps are read, also by the phone's back key. */
export const shownIn = (screen: string, isClosed: boolean): string =>
  isClosed && (screen === 'step' || screen === 'reopen') ? 'read' : screen

const PLAIN = ['settings', 'places', 'closed'] as const

export function whereOf(hash: string): Where {
  const [, room, first, job, screen = '', ...parts] = hash
    .replace(/^#/, '')
    .split('/')
    .map(decodeURIComponent)
  if (room === 'bay' && first === 'job' && job) return { at: 'job', job, screen, parts }
  if (room === 'bay' && (first === 'open' || first === 'call')) return { at: first, parts: [job, screen] }
  return { at: PLAIN.find((name) => room === 'bay' && name === first) ?? 'jobs' }
}
