/** One step, one act: the work in sentences, where to look, what can hurt, the next two, and the key. */
import type { ComponentChildren } from 'preact'
import { useRef, useState } from 'preact/hooks'
import type { Deed } from '../../parts/deed'
import { HoldKey, PlainKey, SideKey } from '../../parts/keys'
import type { HeadProps } from '../../parts/head'
import { Seal } from '../../parts/seal'
import { MakersWord } from '../../parts/makers-word'
import { Sign } from '../../parts/signs'
import type { Trouble } from '../../store'
import { chunk, screenOf } from '../chunk'
import { useAwake } from './awake'
import { Drawing, StepDrawn, StepPicture, useBeside } from './drawing'
import type { ReadPicture } from './step-picture'
import { Frame } from './frame'
import type { ProofNow } from '../../work/proofs'
import type { JobNow, StepNow } from '../../work/job'
import { LEAST_DRAWN } from '../../work/fits'
import { capital } from '../../work/letters'
import { wordsAtStep } from '../../work/makers-words'
import { settingNm } from '../../work/limits'
import { type ChoosingProps, useChoosing } from './proofs/choosing'
import { useCounting } from './proofs/count'
import { SealedWith } from './proofs/sealed-with'
import { canSay, say } from './voice'
import * as words from '../../words/en/bay/step'
import { t } from '../../words/message'
import { NotLikeThat } from './act-keys'

/** It comes with the rest of the work: where a wrench clicks it is not asked for here. */
const Sequence = screenOf(
  chunk(() => import('./proofs/sequence')),
  (its) => its.Sequence,
  () => null,
)

interface StepProps {
  head: HeadProps
  now: Pick<JobNow, 'bundle' | 'possible' | 'tags' | 'plan'>
  asked: StepNow
  trouble: Trouble | null
  readPicture: ReadPicture
  /** The next thing to give, or null when only the paint is left. */
  next: ProofNow | null
  /** The next is a choice or a count that has room here; null where it has a screen of its own. */
  gives: GivesProps | null
  /** Tools to move before anything else is given; null when there are none. */
  toolsLeft: string | null
  give: () => void
  giveAgain: (name: string) => void
  tools: () => void
  paint: Deed
  /** To the photo with which a rule is passed by; null for a step in order. */
  pass: (() => void) | null
  fail: (() => void) | null
  /** To what is found beside the step's own work. */
  found: () => void
}

export const spoken = (now: Pick<JobNow, 'bundle'>, { step }: StepNow) =>
  [
    step.title,
    ...wordsAtStep(now.bundle, step).map(({ instead }) =>
      t(words.spokenWord, { whose: instead.whose ?? 'maker', says: instead.says }),
    ),
    ...step.says,
    step.caution?.says ?? '',
  ].join('. ')

function readWords(step: StepNow['step'], proof: ProofNow['proof']): string {
  const nm = settingNm(step, proof)
  const { unit } = proof
  if (nm !== null) return t(words.setTorque, { nm })
  if (step.torque?.angle_deg !== undefined && unit === '°')
    return t(words.turn, { angle_deg: step.torque.angle_deg })
  return unit === 'Hz' ? t(words.pluckTheSpan) : t(words.measure)
}

export interface GivesProps extends ChoosingProps {
  /** What else its hold signs. */
  given: readonly string[]
  /** Pixels that it leaves for a drawing. */
  room: number
}

/** What the main key says before a proof is given: the next act, never a general word. */
function giveWords({ step }: StepNow, { proof }: ProofNow): string {
  switch (proof.kind) {
    case 'photo':
      return t(words.takeThePhoto)
    case 'reading':
      return readWords(step, proof)
    case 'count':
      return t(words.count)
    case 'wait':
      return t(words.wait)
    case 'scan':
      return proof.part === undefined ? t(words.readTheTag) : t(words.readTheLot)
    case 'choice':
      return t(words.lookAndChoose)
    case 'signature':
    case 'confirm': // given with the hold that seals the step, so never asked for here
      return t(words.sign)
  }
}

export function Caution({ step }: { step: StepNow['step'] }) {
  if (!step.caution) return null
  return (
    <div class="caution">
      <Sign name={step.caution.sign} />
      <p>{step.caution.says}</p>
    </div>
  )
}

export function Torque({ step }: { step: StepNow['step'] }) {
  // With a reading of its own the torque has a whole screen.
  if (!step.torque || step.proof.some(({ tool }) => tool === 'torque_wrench')) return null
  return (
    <>
      <p class="torque-figure">
        {step.torque.nm}{' '}
        <small>
          {t(words.newtonMetres)}
          {step.torque.angle_deg !== undefined && ` + ${step.torque.angle_deg}°`}
        </small>
      </p>
      <Sequence bolts={step.torque.sequence} />
    </>
  )
}

/** The work in sentences; a tap anywhere on them says why. */
export function Says({ step, aloud }: { step: StepNow['step']; aloud?: () => void }) {
  const sentences = step.says.map((sentence) => <span>{sentence}</span>)
  if (step.because === undefined) return <p class="says">{sentences}</p>
  return (
    <details class="says">
      <summary>
        {sentences} <u>{t(words.why)}</u>
      </summary>
      <p class="soft">{step.because}</p>
      {aloud && (
        <button type="button" class="row-key row-given" onClick={aloud}>
          {t(words.sayIt)}
        </button>
      )}
    </details>
  )
}

/** What is given and not yet sealed: a tap gives it anew, as a slip of the finger is put right. */
function Given({ proofs, again }: { proofs: readonly ProofNow[]; again: (name: string) => void }) {
  const given = proofs.filter((each) => each.said !== null)
  if (given.length === 0) return null
  return (
    <ul class="given" aria-label={t(words.given)}>
      {given.map(({ proof, said }) => (
        <li>
          <button type="button" class="row-key row-given" onClick={() => again(proof.name)}>
            <Seal state="holds" size={24} />
            <span class="row-words">
              {capital(proof.label)}: {said}
            </span>
          </button>
        </li>
      ))}
    </ul>
  )
}

function Next({ now, asked }: { now: Pick<JobNow, 'plan'>; asked: StepNow }) {
  const after = now.plan
    .flatMap((item) => (item.kind === 'step' && item.step.step.id !== asked.step.id ? [item.step] : []))
    .slice(0, 2)
  return (
    <ul class="next" aria-label={t(words.next)}>
      {after.map(({ step }) => (
        <li>
          <Seal state="todo" size={30} />
          <em>{step.number}</em>
          <span>{step.title}</span>
        </li>
      ))}
    </ul>
  )
}

function MainKey({ asked, next, toolsLeft, give, tools, paint, pass }: StepProps) {
  if (toolsLeft !== null) return <PlainKey label={toolsLeft} note={t(words.onTheToolBoard)} onPress={tools} />
  if (next) return <PlainKey label={giveWords(asked, next)} note={next.proof.label} onPress={give} />
  if (pass) return <PlainKey label={t(words.takeThePhoto)} note={t(words.sayItHint)} onPress={pass} />
  return <HoldKey key={asked.step.id} label={asked.step.act} onHeld={paint} />
}

interface HereProps {
  /** What is asked on this screen itself, with what its hold signs. */
  here: ComponentChildren
  main: ComponentChildren
}

interface HereGivenProps {
  props: StepProps
  gives: GivesProps
}

/** What is asked stands under its label, with what the hold signs. */
const Asked = ({ gives, children }: { gives: GivesProps; children: ComponentChildren }) => (
  <section class="chooses">
    <h2>{gives.proof.label}</h2>
    {children}
    <SealedWith {...gives} />
  </section>
)

/** One screen for the step and its choice: the rows are marks, the hold signs. */
function ChosenHere({ props, gives }: HereGivenProps) {
  const { rows, main } = useChoosing(gives)
  return <Whole {...props} here={<Asked gives={gives}>{rows}</Asked>} main={main} />
}

function CountedHere({ props, gives }: HereGivenProps) {
  const { counter, main } = useCounting(gives)
  return <Whole {...props} here={<Asked gives={gives}>{counter}</Asked>} main={main} />
}

export function StepScreen(props: StepProps) {
  const { gives } = props
  if (gives) {
    const Here = gives.proof.kind === 'count' ? CountedHere : ChosenHere
    return <Here key={gives.proof.name} props={props} gives={gives} />
  }
  return <Whole {...props} here={null} main={<MainKey {...props} />} />
}

function Whole(props: StepProps & HereProps) {
  useAwake()
  const { now, asked, here, main } = props
  const { step, proofs } = asked
  const sayIt = () => say(spoken(now, asked))
  const ours = step.picture ? undefined : step.drawn // its writer's own says more
  const isDrawn = !props.gives || props.gives.room >= LEAST_DRAWN
  const [large, setLarge] = useState<string | null>(null)
  const isLarge = large === step.id
  const onDrive = ours === undefined && step.look.length > 0
  const below = useRef<HTMLDivElement>(null)
  const isBeside = useBeside(below, step.id)
  const drive = (
    <div class={isBeside && !isLarge ? 'step-aside' : 'step-body'} ref={isBeside || isLarge ? null : below}>
      <Drawing
        now={now}
        shows={asked.index}
        isLarge={isLarge}
        enlarge={() => setLarge(isLarge ? null : step.id)}
      />
    </div>
  )
  return (
    <Frame
      head={props.head}
      title={step.title}
      trouble={props.trouble}
      side={
        <div class="key-sides">
          <NotLikeThat
            fail={props.fail}
            instead={<SideKey icon="say" label={t(words.sayIt)} disabled={!canSay()} onPress={sayIt} />}
          />
          <SideKey label={t(words.foundSomething)} onPress={props.found} />
        </div>
      }
      main={main}
    >
      {isLarge ? (
        <>
          <Caution step={step} />
          {drive}
          {here}
        </>
      ) : (
        <>
          <div class={isBeside ? 'step-around' : 'step-over'}>
            {isBeside && drive}
            {/* Long words would push what can hurt behind the deck. */}
            {isBeside && <Caution step={step} />}
            {asked.reason !== '' && <p class="reason">{asked.reason}</p>}
            <Torque step={step} />
            {wordsAtStep(now.bundle, step).map((rule) => (
              <MakersWord key={rule.id} rule={rule} />
            ))}
            <Says step={step} {...(props.fail && canSay() ? { aloud: sayIt } : {})} />
            {!isBeside && <Caution step={step} />}
          </div>
          {ours !== undefined && isDrawn && <StepDrawn name={ours} />}
          {onDrive && !isBeside && drive}
          {step.picture && (
            <StepPicture key={step.picture.asset} picture={step.picture} read={props.readPicture} />
          )}
          <Given proofs={proofs} again={props.giveAgain} />
          {here ?? (!onDrive && <Next now={now} asked={asked} />)}
        </>
      )}
    </Frame>
  )
}
