/** Reads a job from the store and folds it; only when its log has changed, or the phone was put away, and then on from what it was. */
import type { Entry } from '../../ledger/entry'
import type { Bundle } from '../../procedure/bundle'
import type { Held, JobRow, Store } from '../../store'
import { jobNow, type JobNow } from '../../work/job'
import { TOLD } from '../../work/told'
import { gapsNow } from './presence'

interface Kept {
  key: string
  now: JobNow
}
const kept = new Map<string, Kept>()

/** A job, read and folded; null while its procedure is not here. */
export async function readJob(
  store: Pick<Store, 'log' | 'bundle' | 'device'>,
  row: JobRow,
  statements: readonly Held[],
): Promise<JobNow | null> {
  const [held, bundle] = await Promise.all([store.log(row.job), store.bundle(row.bundle)])
  return bundle && nowOf(store, row, bundle, held, statements)
}

/** The same, on from what was read before: with what an act of this phone has just added. */
export function readOn(
  store: Pick<Store, 'device'>,
  { row, bundle, held }: JobNow,
  entries: readonly Entry[],
  statements: readonly Held[],
): JobNow {
  const here = new Set(held.map(({ entry }) => entry.id)) // the log may have been read since
  const news = entries.filter(({ id }) => !here.has(id))
  const own = news.map(
    (entry): Held => ({ entry, place: 'phone', index: null, standing: 'good', mine: true }),
  )
  return nowOf(store, news.reduce(rowWith, row), bundle, [...held, ...own], statements)
}

/** As the list of jobs has it then. */
const rowWith = (row: JobRow, { at, device, person }: Entry): JobRow => ({
  ...row,
  ...(at >= row.lastAt ? { lastAt: at, lastDevice: device, lastPerson: person } : {}),
  entries: row.entries + 1,
  mine: true,
})

/** What may change of a log. */
const said = (log: readonly Held[]) =>
  log.map(({ entry, standing, place, refused }) => [entry.id, standing, place, refused?.code])

/** The same object while the same is read: then no screen need be drawn anew. */
function nowOf(
  store: Pick<Store, 'device'>,
  row: JobRow,
  bundle: Bundle,
  held: readonly Held[],
  statements: readonly Held[],
): JobNow {
  const [gaps, device] = [gapsNow(), store.device.value]
  const key = JSON.stringify([gaps.length, device?.id, device?.person, row, ...[held, statements].map(said)])
  const known = kept.get(row.job)
  if (known?.key === key) return known.now
  const before = known?.now.bundle === bundle ? known.now : null
  const now = jobNow(row, bundle, held, device, gaps, statements, before)
  kept.set(row.job, { key, now })
  return now
}

export const readStatements = (store: Pick<Store, 'statements'>): Promise<Held[]> => store.statements(TOLD)
