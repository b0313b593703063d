/** The tool board under the hand: a tap takes a tool, or hangs it back. */
import { ToolBoard } from '../../parts/board'
import type { StepNow } from '../../work/job'
import type { BoardTool } from '../../work/shown'
import { moveTool } from '../../work/write'
import * as words from '../../words/en/bay/tapped-board'
import { t } from '../../words/message'
import type { InJob } from './in-job'
import { oneTap } from './one-tap'

type TappedBoardProps = Pick<InJob, 'store' | 'job' | 'act'> & {
  tools: readonly BoardTool[]
  /** The step that asks for it; null from the board of the job. */
  asked: StepNow | null
}

export function TappedBoard({ tools, asked, store, job, act }: TappedBoardProps) {
  const move = (tool: BoardTool) => {
    const said = `${tool.tag ?? tool.label} ${tool.out ? t(words.onTheBoard) : t(words.taken)}.`
    const write = () => moveTool(store, job, tool.slot, !tool.out, tool.id, asked)
    void oneTap(tool.slot, () => act.run(write, said, null))
  }
  return (
    <div class="bleed" role="group" aria-label={t(words.toolBoard)}>
      <ToolBoard tools={tools} onTap={move} />
    </div>
  )
}
