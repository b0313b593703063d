/** The tools that one step moves, on their board: each is tapped as it goes. */
import { useEffect, useMemo, useRef } from 'preact/hooks'
import { HoldKey, MissingKey, PlainKey, SideKey } from '../../parts/keys'
import { capital } from '../../work/letters'
import { boardOf, isHanging, isSealedAtTheBoard, nextProof, signedWith, toolsOf } from '../../work/step-tools'
import { paintStep } from '../../work/write'
import { SEEN_MS } from './act'
import { Frame } from './frame'
import type { InStep } from './in-job'
import { SealedWith } from './proofs/sealed-with'
import { TappedBoard } from './tapped-board'
import * as words from '../../words/en/bay/step-tools-screen'
import { t } from '../../words/message'

/** Tap each tool as it goes. The step waits until all have moved. */
export function StepTools(inStep: InStep) {
  const { now, asked, act, framed, store, job, passing, toStep, onward } = inStep
  const moving = toolsOf(now, asked)
  const next = nextProof(asked)
  const seals = !passing && isSealedAtTheBoard(now, asked)
  const goOn = () => (next ? toStep('give', next.proof.name) : toStep())
  useOnceAllMoved(moving?.left ?? 0, goOn, !seals)
  // Once all have moved the board stays as it was, for as long as that takes to be seen.
  const way = moving?.way ?? (isHanging(asked) ? 'in' : 'out')
  const slots = moving?.slots ?? (way === 'in' ? asked.step.tools_in : asked.step.tools_out)
  // Only the tools that this step moves.
  const board = useMemo(() => boardOf(now), [now])
  const tools = board.filter(({ slot }) => slots.includes(slot))
  const left = tools.filter((tool) => tool.out !== (way === 'out'))
  const done = tools.length - left.length
  const [first] = left
  // Seals the step, where its tools were the last it asked for.
  const seal = act.deed(
    (ahead) => paintStep(store, job, asked, ahead),
    t(words.holds, { number: asked.step.number }),
    onward,
  )
  return (
    <Frame
      {...framed}
      title={way === 'out' ? t(words.takeThese) : t(words.hangThese)}
      side={
        <SideKey
          figure={String(done)}
          label={t(words.howMany, { tools: tools.length, way: way === 'out' })}
          onPress={goOn}
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
        ) : seals ? (
          <HoldKey label={asked.step.act} onHeld={seal} />
        ) : (
          <PlainKey
            label={t(words.of, { done, tools: tools.length })}
            note={t(words.goOnAbove)}
            onPress={goOn}
          />
        )
      }
    >
      <TappedBoard {...inStep} tools={tools} />
      <p class="soft">{way === 'out' ? t(words.tapAsTaken) : t(words.tapAsHung)}</p>
      <SealedWith paints={seals} given={signedWith(asked)} />
    </Frame>
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
