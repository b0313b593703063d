/** A step and everything asked in it: its tools, its proofs, its failures; or why it is not open. */
import { useEffect } from 'preact/hooks'
import type { Step as StepOf } from '../../procedure/bundle'
import { NothingToDo } from './nothing-to-do'
import { nextProof, signedWith, toolsOf } from '../../work/step-tools'
import { refusalOf } from '../../work/refusal'
import {
  End,
  Fail,
  GiveAdaptor,
  GiveProof,
  GiveTool,
  PassPhoto,
  PassReason,
  Permitted,
  RefusalScreen,
  StepTools,
} from './chunks'
import { passingNow } from './passing'
import { useHushAfter } from './voice'
import type { Measuring } from './give-torque'
import { bringTheCameraFor } from './proofs/camera-screens'
import { isAtItsEnd } from '../../work/ending'
import { capital } from '../../work/letters'
import { wordsAtStep } from '../../work/makers-words'
import { besideOf } from '../../work/figure-beside'
import { roomBeside } from '../../work/fits'
import type { ProofNow } from '../../work/proofs'
import type { InStep } from './in-job'
import { giving } from './giving'
import type { StepScreensProps } from './step-props'
import { pictureOf } from './picture-of'
import { type GivesProps, StepScreen } from './step'
import { paintStep } from '../../work/write'
import * as words from '../../words/en/bay/step-screens'
import { t } from '../../words/message'

/** A step that asks for a permit is shown by what this person may do. */
export function StepScreens(props: StepScreensProps) {
  const { shared, parts } = props
  const step = shared.now.steps.find((each) => each.step.id === parts[0])?.step
  return step && asksPermit(step) ? (
    <Permitted key={step.id} {...props} of={step} Show={AllOfStep} />
  ) : (
    <AllOfStep {...props} />
  )
}

const asksPermit = ({ permit, proof }: StepOf): boolean =>
  permit !== undefined || proof.some(({ options }) => options?.some((each) => each.permit !== undefined))

function AllOfStep({ shared, parts, statements, intent }: StepScreensProps) {
  const { now, to, job } = shared
  const [id, screen, name] = parts
  useHushAfter(id ?? '')
  const asked = now.steps.find(({ step }) => step.id === id)
  if (!asked) return <NothingToDo title={t(words.noSuchStep)} {...shared} />
  const toStep = (...more: string[]) => to('step', asked.step.id, ...more)
  const fail = asked.step.fails.length > 0 ? () => toStep('fail') : null
  const refusal = refusalOf(now, asked)
  const passing = passingNow(job, asked, refusal)
  const inStep: InStep = { ...shared, asked, toStep, fail, passing }
  if (refusal && isAtItsEnd(now) && asked.seal !== 'holds') return <End {...shared} instead={asked} />
  if (screen === 'fail') return <Fail {...inStep} />
  if (refusal && !passing) {
    if (screen === 'pass' && refusal.ask.length > 0) return <PassReason {...inStep} />
    return <RefusalScreen {...inStep} refusal={refusal} />
  }
  if (screen === 'pass' && passing) return <PassPhoto {...inStep} passing={passing} />
  if (screen === 'tools') return <StepTools {...inStep} />
  const wanted = asked.proofs.find(({ proof }) => proof.name === name)
  if (!wanted) return <Step {...inStep} />
  const measuring: Measuring = { ...inStep, statements, wanted }
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

/**
 * The next proof where it has room on the step's own screen; what is seldom shown there takes its room. A count that is
 * held against another figure is seen on a screen of its own.
 */
function givesOf(inStep: InStep, next: ProofNow | null): GivesProps | null {
  const { now, asked, fail } = inStep
  if (!next || asked.reason !== '' || wordsAtStep(now.bundle, asked.step).length > 0) return null
  const given = signedWith(asked)
  const { paints, keep } = giving(inStep, next)
  const isGiven = asked.proofs.filter(({ said }) => said !== null).length
  const room = roomBeside(asked.step, next.proof, paints ? given : [], isGiven)
  if (room === null || besideOf(now, next.proof) !== null) return null
  return { proof: { ...next.proof, label: capital(next.proof.label) }, paints, keep, fail, given, room }
}

function Step(inStep: InStep) {
  const { now, asked, act, framed, store, job, fail, passing, to, toStep, onward } = inStep
  const next = nextProof(asked)
  const tools = toolsOf(now, asked)
  const kind = next?.proof.kind
  useEffect(() => {
    if (kind) bringTheCameraFor(kind)
  }, [kind])
  return (
    <StepScreen
      key={asked.step.id}
      {...framed}
      now={now}
      asked={asked}
      readPicture={pictureOf(store, now.bundle)}
      next={next}
      gives={tools === null ? givesOf(inStep, next) : null}
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
      paint={act.deed(
        (ahead) => paintStep(store, job, asked, ahead),
        t(words.holds, { number: asked.step.number }),
        onward,
      )}
      fail={fail}
      found={() => to('found', 'new', asked.step.id)}
    />
  )
}
