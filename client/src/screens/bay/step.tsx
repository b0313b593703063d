/** One step, one act: the work in sentences, where to look, what can hurt, the next two, and the key. */
import { HoldKey, PlainKey, SideKey } from '../../parts/keys'
import type { HeadProps } from '../../parts/head'
import { driveState, stepView } from '../../parts/drive-words'
import { Seal } from '../../parts/seal'
import { MakersWord } from '../../parts/makers-word'
import { Sign } from '../../parts/signs'
import type { Trouble } from '../../store'
import { useAwake } from './awake'
import { Drawing } from './drawing'
import { Frame } from './frame'
import type { ProofNow } from '../../work/proofs'
import type { JobNow, StepNow } from '../../work/job'
import { capital } from '../../work/letters'
import { wordsAtStep } from '../../work/makers-words'
import { settingNm } from '../../work/limits'
import { Sequence } from './proofs/sequence'
import { canSay, say } from './voice'
import * as words from '../../words/en/bay/step'
import { t } from '../../words/message'
import { NotLikeThat } from './act-keys'

interface StepProps {
  head: HeadProps
  now: Pick<JobNow, 'bundle' | 'possible' | 'tags' | 'plan'>
  asked: StepNow
  trouble: Trouble | null
  /** The next thing to give, or null when only the paint is left. */
  next: ProofNow | null
  /** Tools to move before anything else is given; null when there are none. */
  toolsLeft: string | null
  give: () => void
  giveAgain: (name: string) => void
  tools: () => void
  paint: () => Promise<void>
  /** To the photo with which a rule is passed by; null for a step in order. */
  pass: (() => void) | null
  fail: (() => void) | null
}

const spoken = (now: Pick<JobNow, 'bundle'>, { step }: StepNow) =>
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
    case 'confirm': // given with the step's own hold, so never asked for here
      return t(words.sign)
  }
}

function Caution({ step, wide }: { step: StepNow['step']; wide: boolean }) {
  if (!step.caution) return null
  return (
    <div class={wide ? 'caution caution-wide' : 'caution'}>
      <Sign name={step.caution.sign} size={wide ? 36 : 40} />
      <p>{step.caution.says}</p>
    </div>
  )
}

function Torque({ step }: { step: StepNow['step'] }) {
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
function Says({ step }: { step: StepNow['step'] }) {
  const sentences = step.says.map((sentence) => <span>{sentence}</span>)
  if (step.because === undefined) return <p class="says">{sentences}</p>
  return (
    <details class="says">
      <summary>
        {sentences} <u>{t(words.why)}</u>
      </summary>
      <p class="soft">{step.because}</p>
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

export function StepScreen(props: StepProps) {
  useAwake()
  const { now, asked } = props
  const { step, proofs } = asked
  const drawn = step.look.length > 0
  const view = stepView(now.bundle, asked.index, driveState(now.bundle.drive, now.possible))
  // The belt's way, the loupe and many names want the whole width.
  const beside = drawn && !view.fitting && !view.loupe && step.look.length < 3
  return (
    <Frame
      head={props.head}
      title={step.title}
      trouble={props.trouble}
      side={
        <NotLikeThat
          fail={props.fail}
          instead={
            <SideKey
              icon="say"
              label={t(words.sayIt)}
              disabled={!canSay()}
              onPress={() => say(spoken(now, asked))}
            />
          }
        />
      }
      main={<MainKey {...props} />}
    >
      {asked.reason !== '' && <p class="reason">{asked.reason}</p>}
      <Torque step={step} />
      {wordsAtStep(now.bundle, step).map((rule) => (
        <MakersWord key={rule.id} rule={rule} />
      ))}
      <Says step={step} />
      {!beside && <Caution step={step} wide />}
      {drawn && (
        <div class="step-body">
          {beside && step.caution && (
            <div class="step-beside">
              <Caution step={step} wide={false} />
            </div>
          )}
          <Drawing now={now} {...view} />
        </div>
      )}
      <Given proofs={proofs} again={props.giveAgain} />
      <Next now={now} asked={asked} />
    </Frame>
  )
}
