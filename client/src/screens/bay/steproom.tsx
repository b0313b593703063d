/** A step and everything asked in it: its tools, its proofs, its failures; or why it is not open. */
import { useState } from 'preact/hooks'
import type { BoardTool } from '../../parts/board'
import { Frame } from './frame'
import { FailScreen } from './fail'
import { MissingKey, PlainKey, SideKey } from '../../parts/keys'
import { Words, asWords } from './bits'
import { GiveProof, GiveTool } from './give'
import type { StepNow } from './job'
import { PhotoScreen } from './proofs/photo'
import { RefusalScreen } from './refusal'
import type { InRoom } from './room'
import { StepScreen } from './step'
import { StepToolsScreen } from './tools'
import { boardOf, isHanging, nextProof, refusalOf, toolsOf } from './view'
import { failStep, moveTool, paintStep, passStep } from './write'

export interface InStep extends InRoom { asked: StepNow; toStep: (...parts: string[]) => void; fail: (() => void) | null }

export function StepRoom(room: InRoom) {
  const { now, parts, head, to } = room
  const asked = now.steps.find(({ step }) => step.id === parts[0])
  if (!asked) return <NoSuchStep {...room} />
  const toStep = (...more: string[]) => to('step', asked.step.id, ...more)
  const fail = asked.step.fails.length > 0 ? () => toStep('fail') : null
  const inStep: InStep = { ...room, asked, toStep, fail }
  const screen = parts[1] ?? ''
  if (screen === 'fail') return <Fail {...inStep} />
  const refusal = refusalOf(now, asked)
  if (refusal) {
    if (screen === 'pass' && refusal.ask.length > 0) return <Pass {...inStep} rules={refusal.ask} />
    return (
      <RefusalScreen
        head={head}
        now={now}
        asked={asked}
        refusal={refusal}
        goTo={(step) => to('step', step)}
        order={() => to('order')}
        pass={refusal.ask.length > 0 ? () => toStep('pass') : null}
      />
    )
  }
  if (screen === 'tools') return <StepTools {...inStep} />
  const wanted = asked.proofs.find(({ proof }) => proof.name === parts[2])
  if (screen === 'wrench' && wanted) return <GiveTool {...inStep} wanted={wanted} />
  if (screen === 'give' && wanted) return <GiveProof {...inStep} wanted={wanted} />
  return <Step {...inStep} />
}

function NoSuchStep({ head, to, onward }: InRoom) {
  return (
    <Frame
      head={head}
      title="This procedure has no such step"
      deck={
        <>
          <SideKey icon="lines" label="order of work" onPress={() => to('order')} />
          <PlainKey label="Go on" onPress={onward} />
        </>
      }
    />
  )
}

function Step({ now, asked, act, head, store, job, fail, toStep, onward }: InStep) {
  const next = nextProof(asked)
  const tools = toolsOf(now, asked)
  return (
    <StepScreen
      key={asked.step.id}
      head={head}
      now={now}
      asked={asked}
      trouble={act.trouble}
      next={next}
      toolsLeft={tools && (tools.way === 'out' ? `Take ${tools.left} off the board` : `Hang ${tools.left} on the board`)}
      give={() => next && toStep('give', next.proof.name)}
      tools={() => toStep('tools')}
      paint={() => act.run(() => paintStep(store, job, asked), `${asked.step.number} holds.`, onward)}
      fail={fail}
    />
  )
}

function Fail({ asked, act, head, store, job, to, toStep }: InStep) {
  const write = (failure: string) => act.run(() => failStep(store, job, asked, failure), 'Recorded. What to do comes next.', () => to('redo'))
  return <FailScreen head={head} asked={asked} trouble={act.trouble} write={write} note={() => to('note', asked.step.id)} back={() => toStep()} />
}

function StepTools({ now, asked, act, head, store, job, toStep }: InStep) {
  const moving = toolsOf(now, asked)
  // Once all have moved the board stays as it was, until the key is pressed.
  const way = moving?.way ?? (isHanging(asked) ? 'in' : 'out')
  const slots = moving?.slots ?? (way === 'in' ? asked.step.tools_in : asked.step.tools_out)
  const move = (tool: BoardTool) => {
    const said = `${tool.tag ?? tool.label} ${tool.out ? 'on the board' : 'taken'}.`
    act.run(() => moveTool(store, job, tool.slot, !tool.out, tool.id, asked), said, null).catch(() => undefined) // `trouble` shows it
  }
  return (
    <StepToolsScreen
      head={head}
      title={way === 'out' ? 'Take these off the board' : 'Hang these on the board'}
      trouble={act.trouble}
      tools={boardOf(now).filter(({ slot }) => slots.includes(slot))}
      way={way}
      move={move}
      back={() => toStep()}
    />
  )
}

/** A house rule that asks: passed with a reason and a photo, and the owner sees it for ever. */
function Pass({ asked, rules, act, head, store, job, to, toStep, onward }: InStep & { rules: readonly string[] }) {
  const [typed, setTyped] = useState('')
  const [photo, setPhoto] = useState(false)
  const because = asWords(typed)
  if (photo) {
    return (
      <PhotoScreen
        head={head}
        step={asked.step}
        proof={{ name: 'passed', kind: 'photo', label: 'A photo of how it is' }}
        trouble={act.trouble}
        paints
        intend={() => Promise.resolve()}
        keep={(given) => (given.kind === 'picture' ? act.run(() => passStep(store, job, asked, rules, because, given.picture), 'Passed by, for the owner to see.', onward) : Promise.reject(new Error('no picture')))}
        back={() => setPhoto(false)}
        fail={null}
      />
    )
  }
  return (
    <Frame
      head={head}
      title="Pass this rule by?"
      trouble={act.trouble}
      deck={
        <>
          <SideKey icon="back" label="no, back" onPress={() => (asked ? toStep() : to())} />
          {because === '' ? <MissingKey label="Why first" note="then a photo" /> : <PlainKey label="Take the photo" note="it goes to the owner" onPress={() => setPhoto(true)} />}
        </>
      }
    >
      <p class="stop-words">The step is then done, and its proofs stay unproved. The owner sees it.</p>
      <Words label="Why is it passed by?" value={typed} onValue={setTyped} />
    </Frame>
  )
}
