/** The tool board in hand: a tool that was moved is shown where it is as soon as that is kept, before the log has been read anew. */
import { useState } from 'preact/hooks'
import type { BoardTool } from '../../parts/board'
import type { JobNow, StepNow } from './job'
import type { InRoom } from './room'
import { boardOf } from './view'
import { moveTool } from './write'

interface Moved {
  /** What the log said when they were moved: the next reading of it knows of them itself. */
  since: JobNow
  out: Readonly<Record<string, boolean>>
}

export function useBoard({ now, act, store, job }: InRoom, asked: StepNow | null) {
  const [moved, setMoved] = useState<Moved | null>(null)
  const out = moved?.since === now ? moved.out : {}
  const tools = boardOf(now).map((tool) => ({ ...tool, out: out[tool.slot] ?? tool.out }))
  const move = ({ slot, id, ...tool }: BoardTool) => {
    const said = `${tool.tag ?? tool.label} ${tool.out ? 'on the board' : 'taken'}.`
    const write = async () => {
      await moveTool(store, job, slot, !tool.out, id, asked)
      setMoved((before) => ({ since: now, out: { ...(before?.since === now ? before.out : {}), [slot]: !tool.out } }))
    }
    act.run(write, said, null).catch(() => undefined) // `trouble` shows it
  }
  return { tools, move }
}
