/** What the pages of the workshop read from the store, again whenever something kept here has changed. */
import { useEffect, useState } from 'preact/hooks'
import type { Held } from '../../store'
import type { Rooms } from '../rooms'
import { fittedIn, type Fitted } from '../../work/lots'
import { TOLD } from '../../work/told'
import { reading, useChanged } from '../reading'

/** The workshop's statements of people, tools, lots and procedures; null until they are read. */
export function useStatements({ store }: Rooms): readonly Held[] | null {
  const [statements, setStatements] = useState<readonly Held[] | null>(null)
  const changed = useChanged(store)
  useEffect(() => reading(store.statements(TOLD), setStatements), [store, changed])
  return statements
}

/** A job's log is read once for as long as it has no more entries: there may be thousands of jobs. */
const read = new Map<string, { entries: number; fitted: Fitted[] }>()

/** Every part with a lot that was fitted in a job which is here: of lots a desk is sure of these without a line. */
async function readFitted(store: Rooms['store']): Promise<Fitted[]> {
  const found: Fitted[] = []
  for (const row of await store.jobs()) {
    const known = read.get(row.job)
    const now =
      known?.entries === row.entries
        ? known
        : { entries: row.entries, fitted: fittedIn(row, await store.log(row.job)) }
    read.set(row.job, now)
    found.push(...now.fitted)
  }
  return found
}

/** The same, read again when `readable` changes, too; null until all are read. */
export function useFitted({ store }: Rooms, readable: number | null = 0): readonly Fitted[] | null {
  const [fitted, setFitted] = useState<readonly Fitted[] | null>(null)
  const changed = useChanged(store)
  useEffect(() => reading(readFitted(store), setFitted), [store, readable, changed])
  return fitted
}
