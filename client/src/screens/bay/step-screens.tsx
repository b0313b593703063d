/** A step and everything asked in it: its tools, its proofs, its failures; or why it is not open. */
import { useEffect, useRef, useState } from 'preact/hooks'
import type { Picture } from '../../instruments/camera'
import type { Held, Intent } from '../../store'
import type { BoardTool } from '../../work/shown'
import { Frame } from './frame'
import { MissingKey, PlainKey, SideKey } from '../../parts/keys'
import { Words, asWords } from './free-words'
import {
  boardAfter,
  boardOf,
  isHanging,
  nextProof,
  pinsToPutIn,
  toolLabel,
  toolsOf,
} from '../../work/step-tools'
import { refusalOf, type RefusalNow } from '../../work/refusal'
import { End, FailScreen, GiveAdaptor, GiveProof, GiveTool, RefusalScreen, StepToolsScreen } from './chunks'
import type { Measuring } from './give-torque'
import { bringTheCameraFor, PhotoScreen } from './proofs/camera-screens'
import { isAtItsEnd } from '../../work/ending'
import type { StepNow } from '../../work/job'
import type { InJob, InStep, Passing } from './in-job'
import { SEEN_MS } from './act'
import { oneTap } from './one-tap'
import { StepScreen } from './step'
import { failStep, moveTool, paintStep, passStep } from '../../work/write'
import * as words from '../../words/en/bay/step-screens'
import { t } from '../../words/message'

/** Reasons why a rule is passed by, in this session only: they are written with the step, and asked for again after a kill. */
const reasons = new Map<string, string>()
const reasonKey = (job: string, { step }: StepNow) => `${job} ${step.id}`

function passingNow(job: string, asked: StepNow, refusal: RefusalNow | null): Passing | null {
  const because = reasons.get(reasonKey(job, asked))
  return refusal && refusal.ask.length > 0 && because !== undefined ? { rules: refusal.ask, because } : null
}

interface StepScreensProps {
  shared: InJob
  /** The address behind `step`: which step, which of its screens, which of its proofs. */
  parts: readonly string[]
  statements: readonly Held[]
  intent: Intent | null
}

export function StepScreens({ shared, parts, statements, intent }: StepScreensProps) {
  const { now, head, to, job, store } = shared
  const [id, screen, name] = parts
  const asked = now.steps.find(({ step }) => step.id === id)
  if (!asked) return <NoSuchStep head={head} to={to} onward={shared.onward} />
  const toStep = (...more: string[]) => to('step', asked.step.id, ...more)
  const fail = asked.step.fails.length > 0 ? () => toStep('fail') : null
  const refusal = refusalOf(now, asked)
  const passing = passingNow(job, asked, refusal)
  const inStep: InStep = { ...shared, asked, toStep, fail, passing }
  if (refusal && isAtItsEnd(now) && asked.seal !== 'holds')
    return <End head={head} now={now} to={to} instead={asked} />
  if (screen === 'fail') return <Fail {...inStep} />
  if (refusal && !passing) {
    if (screen === 'pass' && refusal.ask.length > 0)
      return <Reason job={job} asked={asked} head={head} toStep={toStep} />
    return (
      <RefusalScreen
        head={head}
        now={now}
        asked={asked}
        refusal={refusal}
        goTo={(step) => to('step', step)}
        order={() => to('order')}
        pass={refusal.ask.length > 0 ? () => toStep('pass') : null}
        again={asked.seal === 'holds' || asked.seal === 'passed' ? () => to('reopen', asked.step.id) : null}
      />
    )
  }
  if (screen === 'pass' && passing) return <PassPhoto {...inStep} passing={passing} />
  if (screen === 'tools') return <StepTools {...inStep} />
  const wanted = asked.proofs.find(({ proof }) => proof.name === name)
  if (!wanted) return <Step {...inStep} />
  const measuring: Measuring = { store, job, now, statements, asked, wanted, head, toStep }
  if (screen === 'wrench') return <GiveTool {...measuring} />
  if (screen === 'adaptor') return <GiveAdaptor {...measuring} />
  // Of its own for each proof: what was tapped for one is nothing that was said of the next.
  if (screen === 'give')
    return (
      <GiveProof
        key={`${asked.step.id} ${wanted.proof.name}`}
        inStep={inStep}
        measuring={measuring}
        intent={intent}
      />
    )
  return <Step {...inStep} />
}

function NoSuchStep({ head, to, onward }: Pick<InJob, 'head' | 'to' | 'onward'>) {
  return (
    <Frame
      head={head}
      title={t(words.noSuchStep)}
      side={<SideKey icon="lines" label={t(words.orderOfWork)} onPress={() => to('order')} />}
      main={<PlainKey label={t(words.goOn)} onPress={onward} />}
    />
  )
}

function Step({ now, asked, act, head, store, job, fail, passing, toStep, onward }: InStep) {
  const next = nextProof(asked)
  const tools = toolsOf(now, asked)
  const kind = next?.proof.kind
  useEffect(() => {
    if (kind) bringTheCameraFor(kind)
  }, [kind])
  return (
    <StepScreen
      key={asked.step.id}
      head={head}
      now={now}
      asked={asked}
      trouble={act.trouble}
      next={next}
      toolsLeft={
        tools &&
        (tools.way === 'out'
          ? t(words.takeOffTheBoard, { left: tools.left })
          : t(words.hangOnTheBoard, { left: tools.left }))
      }
      give={() => next && toStep('give', next.proof.name)}
      giveAgain={(name) => toStep('give', name)}
      tools={() => toStep('tools')}
      pass={passing && (() => toStep('pass'))}
      paint={() =>
        act.run(() => paintStep(store, job, asked), t(words.holds, { number: asked.step.number }), onward)
      }
      fail={fail}
    />
  )
}

function Fail({ now, asked, act, head, store, job, to, toStep }: InStep) {
  const putIn = (failure: string) => pinsToPutIn(now, asked, failure)
  const write = (failure: string) =>
    act.run(
      () => failStep(store, job, asked, failure, putIn(failure)),
      t(words.recordedThen),
      () => to('redo'),
    )
  const pins = (failure: string) => putIn(failure).map((slot) => toolLabel(now, slot))
  return (
    <FailScreen
      head={head}
      asked={asked}
      trouble={act.trouble}
      pins={pins}
      write={write}
      note={() => to('note', asked.step.id)}
      back={() => toStep()}
    />
  )
}

function StepTools({ now, asked, act, head, store, job, toStep }: InStep) {
  const moving = toolsOf(now, asked)
  const next = nextProof(asked)
  const goOn = () => (next ? toStep('give', next.proof.name) : toStep())
  useOnceAllMoved(moving?.left ?? 0, goOn)
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
    />
  )
}

/** Go on by itself when the last tool has moved here; a board that is opened again with nothing left to move stays. */
function useOnceAllMoved(left: number, goOn: () => void): void {
  const had = useRef(0)
  // biome-ignore lint/correctness/useExhaustiveDependencies: `goOn` is another one with each drawing, and says the same
  useEffect(() => {
    const isOver = had.current > 0 && left === 0
    had.current = left
    if (!isOver) return undefined
    const timer = setTimeout(goOn, SEEN_MS)
    return () => clearTimeout(timer)
  }, [left])
}

/** A house rule that asks: passed with a reason, the step's own proofs and a photo, and the owner sees it for ever. */
function Reason({ job, asked, head, toStep }: Pick<InStep, 'job' | 'asked' | 'head' | 'toStep'>) {
  const [typed, setTyped] = useState('')
  const because = asWords(typed)
  const goOn = () => {
    reasons.set(reasonKey(job, asked), because)
    toStep()
  }
  return (
    <Frame
      head={head}
      title={t(words.passTitle)}
      side={<SideKey icon="back" label={t(words.noBack)} onPress={() => toStep()} />}
      main={
        because === '' ? (
          <MissingKey label={t(words.whyFirst)} note={t(words.thenAPhoto)} />
        ) : (
          <PlainKey
            label={t(words.goOnWith, { number: asked.step.number || t(words.it) })}
            note={t(words.photoComesLast)}
            onPress={goOn}
          />
        )
      }
    >
      <p class="stop-words">{t(words.passedMeans)}</p>
      <Words label={t(words.whyPassed)} value={typed} onValue={setTyped} />
    </Frame>
  )
}

type PassProps = InStep & { passing: Passing }

function PassPhoto({ asked, passing, act, head, store, job, toStep, onward }: PassProps) {
  const pass = async (picture: Picture) => {
    const entries = await passStep(store, job, asked, passing.rules, passing.because, picture)
    reasons.delete(reasonKey(job, asked))
    return entries
  }
  return (
    <PhotoScreen
      head={head}
      step={asked.step}
      proof={{ name: 'passed', kind: 'photo', label: t(words.passPhoto) }}
      trouble={act.trouble}
      paints
      given={[]}
      intend={() => Promise.resolve()}
      expect={(photo) => store.expectPhoto(photo)}
      keep={(given) =>
        given.kind === 'picture'
          ? act.run(() => pass(given.picture), t(words.passed), onward)
          : Promise.reject(new Error('no picture'))
      }
      back={() => toStep()}
      fail={null}
    />
  )
}
