/** One proof of a step: the screen that its kind asks for, and what is written when it is given. */
import { useState } from 'preact/hooks'
import { besideOf } from '../../work/figure-beside'
import type { Intent } from '../../store'
import type { Measuring } from './give-torque'
import { capital } from '../../work/letters'
import { ChoiceScreen } from './proofs/choice'
import { CountScreen, MOST_PRESSED } from './proofs/count'
import type { ProofProps } from './proofs/props'
import { type Given, beginStep, giveProof } from '../../work/write'
import { thingsOf } from './proofs/counted-things'
import { LotScreen, PhotoScreen, TagScreen } from './proofs/camera-screens'
import { ReadingScreen } from './proofs/reading'
import { SignatureScreen } from './proofs/signature'
import { TicksScreen } from './proofs/ticks'
import { WaitScreen } from './proofs/wait'
import type { InStep } from './in-job'
import type { StepNow } from '../../work/job'
import { boardOf, nextAfter, paintsWith } from '../../work/step-tools'
import { lotRecalled } from '../../work/recalls'
import { tagRead } from '../../work/wrenches'
import { isoDay } from '../../work/format'
import { GiveReading } from './give-reading'
import * as words from '../../words/en/bay/give-proof'
import { t } from '../../words/message'

interface GiveProps {
  inStep: InStep
  measuring: Measuring
  /** What was to be photographed when this page was last alive. */
  intent: Intent | null
}

const saidOf = ({ proofs }: StepNow) =>
  proofs.flatMap(({ proof, said }) => (said === null ? [] : [`${proof.label}: ${said}`]))

export function GiveProof({ inStep, measuring, intent }: GiveProps) {
  const { now, asked, act, head, store, job, fail, passing, toStep, onward } = inStep
  const { statements, wanted } = measuring
  const paints = !passing && paintsWith(now, asked, wanted)
  const [intended, setIntended] = useState(false)
  const intend = async () => {
    await store.setIntent({ job, step: asked.step.id, name: wanted.proof.name })
    setIntended(true)
  }
  const expect = (photo: Blob) => store.expectPhoto(photo)
  const forget = () => (intended || intent ? store.setIntent(null) : Promise.resolve())
  // What the step asks next comes at once: its words were read when it was opened, and stand behind the back key.
  const next = nextAfter(asked, wanted)
  const goOn = () => (next ? toStep('give', next.proof.name) : toStep())
  const keep = (given: Given) =>
    act.run(
      () => giveProof(store, job, asked, wanted, given, paints),
      paints
        ? t(words.holds, { number: asked.step.number })
        : t(words.kept, { label: capital(wanted.proof.label) }),
      paints ? onward : goOn,
      forget,
    )
  const props: ProofProps = {
    head,
    step: asked.step,
    proof: { ...wanted.proof, label: capital(wanted.proof.label) },
    trouble: act.trouble,
    against: besideOf(now, wanted.proof),
    paints,
    given: saidOf(asked),
    keep,
    back: () => void forget().then(() => toStep()),
    fail,
  }
  switch (wanted.proof.kind) {
    case 'photo':
      return <PhotoScreen {...props} intend={intend} expect={expect} />
    case 'reading':
      return <GiveReading measuring={measuring} props={props} intend={intend} expect={expect} />
    case 'count': {
      const { target, of } = wanted.proof
      if (of !== undefined) return <TicksScreen {...props} things={thingsOf(of, now.bundle, boardOf(now))} />
      if (Number(target) <= MOST_PRESSED || target === undefined) return <CountScreen {...props} />
      return (
        <ReadingScreen
          {...props}
          proof={{ ...props.proof, low: target, high: target }}
          tool={null}
          otherTool={null}
        />
      )
    }
    case 'wait': {
      const begin = () => act.run(() => beginStep(store, job, asked), t(words.timeRuns), null)
      return <WaitScreen {...props} begunAt={asked.begunAt} begin={begin} />
    }
    case 'choice':
      return <ChoiceScreen {...props} />
    case 'scan':
      if (wanted.proof.part === undefined)
        return <TagScreen {...props} look={(tag) => tagRead(statements, wanted, tag, isoDay(new Date()))} />
      return (
        <LotScreen
          {...props}
          part={wanted.proof.part}
          today={isoDay(new Date())}
          recalled={(lot) => lotRecalled(statements, lot)}
        />
      )
    case 'signature':
      return <SignatureScreen {...props} />
    case 'confirm':
      return null // it is said with the step's own key: nothing leads here
  }
}
