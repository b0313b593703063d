/** Tools moved by taps on their board, each an act that stays on its screen. */
import type { BoardTool } from '../../work/shown'
import type { StepNow } from '../../work/job'
import { moveTool } from '../../work/write'
import * as words from '../../words/en/bay/board-taps'
import { t } from '../../words/message'
import type { InJob } from './in-job'
import { oneTap } from './one-tap'

/** @param asked the step that is begun with it, where it is one of a step's */
export function boardTaps({ act, store, job }: Pick<InJob, 'act' | 'store' | 'job'>, asked: StepNow | null) {
  const ready = new Map<BoardTool, () => Promise<void>>()
  const deedOf = (tool: BoardTool) =>
    act.deed(
      (ahead) => moveTool(store, job, tool.slot, !tool.out, tool.id, asked, ahead),
      `${tool.tag ?? tool.label} ${tool.out ? t(words.onTheBoard) : t(words.taken)}.`,
      null,
    )
  return {
    onDown: (tool: BoardTool) => {
      const { ahead } = deedOf(tool)
      if (ahead) ready.set(tool, ahead(0))
    },
    onTap: (tool: BoardTool, moved: () => void) => {
      const move = ready.get(tool) ?? deedOf(tool)
      ready.delete(tool)
      void oneTap(tool.slot, () => move().then(moved))
    },
  }
}
