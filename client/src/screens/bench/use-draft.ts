/**
 * A draft while it is written: read once, written some time after the last change, and checked after that. Each writing
 * names the version that was read, so that nobody's work is written over.
 */
import { useEffect, useRef, useState } from 'preact/hooks'
import type { CheckAnswer, DraftAnswer, ReportAnswer, VersionAnswer } from '../../ledger/answers'
import type { Trouble } from '../../store'
import type { Rooms } from '../rooms'

const QUIET_MS = 900
const LOOK_MS = 400

export interface DraftNow {
  text: string
  pictures: DraftAnswer['pictures']
  version: string
  /** Whether the workshop holds the text as it stands here. */
  isKept: boolean
  /** What the last check found; of an earlier version while the text is being changed. */
  report: ReportAnswer | null
  /** States gone through by the check that runs; null when none does. */
  checking: number | null
  trouble: Trouble | null
}

export interface Drafting {
  now: DraftNow | null
  write: (text: string) => void
  /** Another version is known to be there: a picture was put in, say. */
  took: (version: string, pictures?: DraftAnswer['pictures']) => void
  check: () => void
  stop: () => void
  /** Write what stands here as another draft, where somebody else has changed this one. */
  keepAs: (name: string) => Promise<boolean>
  readAgain: () => void
}

const pathOf = (name: string) => `/api/drafts/${name}`
export const readAs = (version: string) => ({ 'If-Match': `"${version}"` })
export const asNew = { 'If-None-Match': '*' }

export function useDraft({ sync }: Rooms, name: string): Drafting {
  const [now, setNow] = useState<DraftNow | null>(null)
  const [reading, setReading] = useState(0)
  const newest = useRef(now)
  const timer = useRef(0)
  const looking = useRef(0)
  const set = (changed: Partial<DraftNow>) => {
    if (newest.current) setNow((newest.current = { ...newest.current, ...changed }))
  }

  const look = async () => {
    const answer = await sync.send<CheckAnswer>(`${pathOf(name)}/check`, {})
    if (!answer.ok) return set({ checking: null, trouble: answer.trouble })
    const { state, states, report } = answer.value
    set({ checking: state === 'running' ? states : null, ...(report ? { report } : {}) })
    if (state === 'running') looking.current = window.setTimeout(() => void look(), LOOK_MS)
  }

  const check = async () => {
    clearTimeout(looking.current)
    set({ checking: 0 })
    const answer = await sync.send<CheckAnswer>(`${pathOf(name)}/check`, { method: 'POST', json: {} })
    if (answer.ok) await look()
    else set({ checking: null, trouble: answer.trouble })
  }

  const stop = async () => {
    clearTimeout(looking.current)
    const answer = await sync.send<CheckAnswer>(`${pathOf(name)}/check`, { method: 'DELETE' })
    set({ checking: null, trouble: answer.ok ? null : answer.trouble })
  }

  const keep = async () => {
    const { text, version } = newest.current!
    const answer = await sync.send<VersionAnswer>(pathOf(name), {
      method: 'PUT',
      json: { text },
      headers: readAs(version),
    })
    if (!answer.ok) return set({ trouble: answer.trouble })
    const isStill = newest.current!.text === text
    set({ version: answer.value.version, isKept: isStill, trouble: null })
    if (isStill) await check()
    else await keep()
  }

  const write = (text: string) => {
    if (text === newest.current?.text) return
    clearTimeout(timer.current)
    clearTimeout(looking.current)
    set({ text, isKept: false })
    timer.current = window.setTimeout(() => void keep(), QUIET_MS)
  }

  // biome-ignore lint/correctness/useExhaustiveDependencies: read once for each draft, and when that is asked for
  useEffect(() => {
    let gone = false
    void sync.send<DraftAnswer>(pathOf(name), {}).then((answer) => {
      if (gone) return
      const empty = { report: null, checking: null, isKept: true, trouble: null }
      newest.current = answer.ok
        ? { ...answer.value, ...empty }
        : { text: '', pictures: [], version: '', ...empty, trouble: answer.trouble }
      setNow(newest.current)
      if (answer.ok) void check()
    })
    return () => {
      gone = true
      clearTimeout(looking.current)
      clearTimeout(timer.current)
      if (newest.current && !newest.current.isKept) void keep() // what was typed last goes out all the same
    }
  }, [sync, name, reading])

  return {
    now,
    write,
    took: (version, pictures) => {
      set({ version, ...(pictures ? { pictures } : {}) })
      void check()
    },
    check: () => void check(),
    stop: () => void stop(),
    keepAs: async (other) => {
      const { text } = newest.current!
      const answer = await sync.send(pathOf(other), { method: 'PUT', json: { text }, headers: asNew })
      set({ trouble: answer.ok ? null : answer.trouble, ...(answer.ok ? { isKept: true } : {}) })
      return answer.ok
    },
    readAgain: () => setReading(reading + 1),
  }
}
