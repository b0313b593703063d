/** The tools that one step moves, on their board: each is tapped as it goes. */
import { useEffect, useRef } from 'preact/hooks'
import { ToolBoard } from '../../parts/board'
import type { HeadProps } from '../../parts/head'
import { HoldKey, MissingKey, PlainKey, SideKey } from '../../parts/keys'
import type { Trouble } from '../../store'
import { capital } from '../../work/letters'
import type { BoardTool } from '../../work/shown'
import {
  boardAfter,
  boardOf,
  isHanging,
  isSealedAtTheBoard,
  nextProof,
  signedWith,
  toolsOf,
} from '../../work/step-tools'
import { moveTool, paintStep } from '../../work/write'
import { SEEN_MS } from './act'
import { Frame } from './frame'
import type { InStep } from './in-job'
import { oneTap } from './one-tap'
import { SealedWith } from './proofs/sealed-with'
import * as words from '../../words/en/bay/step-tools-screen'
import { t } from '../../words/message'

interface StepToolsProps {
  head: HeadProps
  title: string
  trouble: Trouble | null
  /** Only the tools this step moves. */
  tools: readonly BoardTool[]
  /** Which way they go here. */
  way: 'out' | 'in'
  move: (tool: BoardTool) => void
  back: () => void
  /** What the step's hold says, and what it signs. */
  act: string
  given: readonly string[]
  /** Seals the step, where its tools were the last it asked for. */
  seal: (() => Promise<void>) | null
}

export function StepTools({ now, asked, act, head, store, job, passing, toStep, onward }: InStep) {
  const moving = toolsOf(now, asked)
  const next = nextProof(asked)
  const seals = !passing && isSealedAtTheBoard(now, asked)
  const goOn = () => (next ? toStep('give', next.proof.name) : toStep())
  useOnceAllMoved(moving?.left ?? 0, goOn, !seals)
  // Once all have moved the board stays as it was, for as long as that takes to be seen.
  const way = moving?.way ?? (isHanging(asked) ? 'in' : 'out')
  const slots = moving?.slots ?? (way === 'in' ? asked.step.tools_in : asked.step.tools_out)
  const move = (tool: BoardTool) => {
    const said = `${tool.tag ?? tool.label} ${tool.out ? t(words.onTheBoard) : t(words.taken)}.`
    const write = () => moveTool(store, job, tool.slot, !tool.out, tool.id, asked)
    void oneTap(tool.slot, () => act.run(write, said, null))
  }
  return (
    <StepToolsScreen
      head={head}
      title={way === 'out' ? t(words.takeThese) : t(words.hangThese)}
      trouble={act.trouble}
      tools={boardAfter(boardOf(now), act.fresh.value).filter(({ slot }) => slots.includes(slot))}
      way={way}
      move={move}
      back={goOn}
      given={signedWith(asked)}
      act={asked.step.act}
      seal={
        seals
          ? () =>
              act.run(
                () => paintStep(store, job, asked),
                t(words.holds, { number: asked.step.number }),
                onward,
              )
          : null
      }
    />
  )
}

/** Go on by itself when the last tool has moved here; a board that is opened again with nothing left to move stays. */
function useOnceAllMoved(left: number, goOn: () => void, goesOn: boolean): void {
  const had = useRef(0)
  // biome-ignore lint/correctness/useExhaustiveDependencies: `goOn` is another one with each drawing, and says the same
  useEffect(() => {
    const isOver = had.current > 0 && left === 0 && goesOn
    had.current = left
    if (!isOver) return undefined
    const timer = setTimeout(goOn, SEEN_MS)
    return () => clearTimeout(timer)
  }, [left])
}

/** Within a step: tap each tool as it goes. The step waits until all have moved. */
function StepToolsScreen(props: StepToolsProps) {
  const { head, title, trouble, tools, way, move, back, act, given, seal } = props
  const left = tools.filter((tool) => tool.out !== (way === 'out'))
  const done = tools.length - left.length
  const [first] = left
  return (
    <Frame
      head={head}
      title={title}
      trouble={trouble}
      side={
        <SideKey
          figure={String(done)}
          label={t(words.howMany, { tools: tools.length, way: way === 'out' })}
          onPress={back}
        />
      }
      main={
        first ? (
          <MissingKey
            label={capital(
              `${first.tag ?? first.label} ${way === 'out' ? t(words.isOnTheBoard) : t(words.isStillOut)}`,
            )}
            note={t(words.tapItAbove)}
          />
        ) : seal ? (
          <HoldKey label={act} onHeld={seal} />
        ) : (
          <PlainKey
            label={t(words.of, { done, tools: tools.length })}
            note={t(words.goOnAbove)}
            onPress={back}
          />
        )
      }
    >
      <div class="bleed" role="group" aria-label={t(words.toolBoard)}>
        <ToolBoard tools={tools} onTap={move} />
      </div>
      <p class="soft">{way === 'out' ? t(words.tapAsTaken) : t(words.tapAsHung)}</p>
      <SealedWith paints={seal !== null} given={given} />
    </Frame>
  )
}
