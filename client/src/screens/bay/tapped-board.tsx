/** The tool board under the hand: a tap takes a tool, or hangs it back. */
import { ToolBoard } from '../../parts/board'
import type { StepNow } from '../../work/job'
import type { BoardTool } from '../../work/shown'
import * as words from '../../words/en/bay/tapped-board'
import { t } from '../../words/message'
import { boardTaps } from './board-taps'
import type { InJob } from './in-job'

type TappedBoardProps = Pick<InJob, 'store' | 'job' | 'act'> & {
  tools: readonly BoardTool[]
  /** The step that asks for it; null from the board of the job. */
  asked: StepNow | null
}

export const TappedBoard = ({ tools, asked, ...inJob }: TappedBoardProps) => (
  <div class="bleed" role="group" aria-label={t(words.toolBoard)}>
    <ToolBoard tools={tools} {...boardTaps(inJob, asked)} />
  </div>
)
