/** How long finished jobs by a procedure took: of the whole workshop where it answers, else of those that are here. */
import type { HoursAnswer } from '../ledger/answers'
import type { Store } from '../store'
import { spent, usualMinutes } from '../trade/hours'
import * as words from '../words/en/work/hours-here'
import { t } from '../words/message'

export interface Hours {
  minutes: number | null
  jobs: number
  of: 'workshop' | 'here'
}

/** A job is finished by an end that wants no reason. */
export async function hoursHere(
  store: Pick<Store, 'jobs' | 'log' | 'bundle'>,
  procedure: string,
): Promise<Hours> {
  const minutes: number[] = []
  for (const { job, bundle, end } of await store.jobs()) {
    const its = end === null ? null : await store.bundle(bundle)
    if (its?.id !== procedure || its.ends.find(({ id }) => id === end)?.because !== false) continue
    const times = (await store.log(job)).map(({ entry }) => Date.parse(entry.at))
    minutes.push(spent(times.filter((at) => !Number.isNaN(at))).worked)
  }
  return { minutes: usualMinutes(minutes), jobs: minutes.length, of: 'here' }
}

export async function hoursOf(
  store: Parameters<typeof hoursHere>[0],
  ask: (path: string) => Promise<{ ok: true; value: HoursAnswer } | { ok: false }>,
  procedure: string,
): Promise<Hours> {
  const answer = await ask(`/api/hours?procedure=${encodeURIComponent(procedure)}`)
  return answer.ok ? { ...answer.value, of: 'workshop' } : hoursHere(store, procedure)
}

export const hoursWords = ({ minutes, jobs, of }: Hours): string =>
  minutes === null ? t(words.noHours, { of }) : t(words.hours, { hours: minutes / 60, n: jobs, of })
