/**
 * The jobs in which a lot was fitted or a tool was used. The workshop says which they are; what is shown of each is read
 * from its own log, which is brought here and checked. Without a line those that are here are told.
 */
import { useEffect, useRef, useState } from 'preact/hooks'
import type { JobsAnswer } from '../../ledger/answers'
import type { Trouble } from '../../store'
import { useChanged } from '../reading'
import type { Rooms } from '../rooms'
import { useList } from './from-server'

/** A recall is to find all jobs of its lot: as many as the workshop gives at once. A tool is in nearly every job. */
const MOST = { lot: 500, tool: 100 }
/** So many are brought between two looks at how far it is. */
const AT_ONCE = 10

export interface FoundJobs {
  /** While they come: how many of how many. */
  coming: { here: number; all: number } | null
  /** Goes up when more of them are here, and what is read from them is to be read again; null until the first are. */
  readable: number | null
  trouble: Trouble | null
  older: (() => void) | null
}

/** @param sought what is traced; null: nothing */
export function useFoundJobs(rooms: Rooms, sought: { by: 'lot' | 'tool'; name: string } | null): FoundJobs {
  const { sync } = rooms
  const question = sought && { [sought.by]: sought.name, most: MOST[sought.by] }
  const { answer, older } = useList<JobsAnswer>(rooms, question && '/api/find', question ?? undefined)
  const [brought, setBrought] = useState<{ times: number; trouble: Trouble | null } | null>(null)
  const [coming, setComing] = useState<FoundJobs['coming']>(null)
  const changed = useChanged(rooms.store)
  /** Once for as long as the page stands: the rounds look after the one that is opened. */
  const asked = useRef(new Set<string>())
  const jobs = answer?.ok ? answer.value.jobs.map(({ job }) => job) : []
  const named = jobs.join()
  // biome-ignore lint/correctness/useExhaustiveDependencies: `named` is the jobs as text, which are a new list each time
  useEffect(() => {
    if (answer === null) return undefined
    let gone = false
    const bring = async () => {
      const news = jobs.filter((job) => !asked.current.has(job))
      let trouble = answer.ok ? null : answer.trouble
      for (let from = 0; from < news.length && !trouble && !gone; from += AT_ONCE) {
        setComing({ here: jobs.length - news.length + from, all: jobs.length })
        const some = news.slice(from, from + AT_ONCE)
        const told = await sync.bringJobs(some)
        if (told.ok) for (const job of some) asked.current.add(job)
        else trouble = told.trouble
      }
      if (gone) return
      setComing(null)
      setBrought((last) => ({ times: (last?.times ?? 0) + 1, trouble }))
    }
    void bring()
    return () => {
      gone = true
    }
  }, [sync, named, answer?.ok])
  return { coming, readable: brought && brought.times + changed, trouble: brought?.trouble ?? null, older }
}
