/** One proof of a step: the screen that its kind asks for, and what is written when it is given. */
import { useState } from 'preact/hooks'
import { chunk, screenOf } from '../chunk'
import { besideOf } from '../../work/figure-beside'
import { isPressed } from '../../work/fits'
import type { Intent } from '../../store'
import type { Measuring } from './give-torque'
import { handOverStep } from '../../work/last-signature'
import { capital } from '../../work/letters'
import { ChoiceScreen } from './proofs/choice'
import { CountScreen } from './proofs/count'
import type { ProofProps } from './proofs/props'
import { beginStep } from '../../work/write'
import { thingsOf } from './proofs/counted-things'
import { LotScreen, PhotoScreen, TagScreen } from './proofs/camera-screens'
import { ReadingScreen } from './proofs/reading'
import { SignatureScreen } from './proofs/signature'
import { TicksScreen } from './proofs/ticks'
import { WaitScreen } from './proofs/wait'
import type { InStep } from './in-job'
import { boardOf, signedWith } from '../../work/step-tools'
import { lotRecalled } from '../../work/recalls'
import { tagRead } from '../../work/wrenches'
import { isoDay } from '../../work/format'
import { giving } from './giving'
import { GiveReading } from './give-reading'
import { OdometerScreen } from './proofs/odometer-screen'
import { odometerAsked } from '../../work/odometer-before'
import * as words from '../../words/en/bay/give-proof'
import { t } from '../../words/message'

/** It stands on the sheet, too. */
const HandOverFacts = screenOf(
  chunk(() => import('../paper')),
  (its) => its.HandOverFacts,
  () => <p aria-busy="true" />, // it is a part of a screen
)

const AgreedFirst = screenOf(
  chunk(() => import('./found')),
  (its) => its.AgreedFirst,
)

/** Most jobs are told by without the chunk of what is found. */
const isAnythingFound = ({ held }: InStep['now']): boolean =>
  held.some(({ entry }) => entry.kind === 'finding.noted')

interface GiveProps {
  inStep: InStep
  measuring: Measuring
  /** What was to be photographed when this page was last alive. */
  intent: Intent | null
}

export function GiveProof({ inStep, measuring, intent }: GiveProps) {
  const { now, asked, act, framed, store, job, fail, toStep } = inStep
  const { statements, wanted } = measuring
  const [intended, setIntended] = useState(false)
  const intend = async () => {
    await store.setIntent({ job, step: asked.step.id, name: wanted.proof.name })
    setIntended(true)
  }
  const expect = (photo: Blob) => store.expectPhoto(photo)
  const forget = () => (intended || intent ? store.setIntent(null) : Promise.resolve())
  const { also, paints, keep } = giving(inStep, wanted, forget)
  const props: ProofProps = {
    ...framed,
    step: asked.step,
    proof: { ...wanted.proof, label: capital(wanted.proof.label) },
    against: besideOf(now, wanted.proof),
    paints,
    also: also?.proof ?? null,
    given: signedWith(asked),
    keep,
    back: () => void forget().then(() => toStep()),
    fail,
  }
  switch (wanted.proof.kind) {
    case 'photo':
      return <PhotoScreen {...props} intend={intend} expect={expect} />
    case 'reading': {
      const before = odometerAsked(wanted.proof, now.held)
      if (before) return <OdometerScreen {...props} before={before} />
      return <GiveReading measuring={measuring} props={props} intend={intend} expect={expect} />
    }
    case 'count': {
      const { target, of } = wanted.proof
      if (of !== undefined) return <TicksScreen {...props} things={thingsOf(of, now.bundle, boardOf(now))} />
      if (target === undefined || isPressed(wanted.proof)) return <CountScreen {...props} />
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
    case 'signature': {
      if (asked.step.id !== handOverStep(now.bundle)) return <SignatureScreen {...props} />
      const first = <HandOverFacts store={store} now={now} statements={statements} />
      const sign = <SignatureScreen {...props} first={first} />
      return isAnythingFound(now) ? <AgreedFirst {...inStep} sign={sign} /> : sign
    }
    case 'confirm':
      return null // it is said with the hold that seals the step: nothing leads here
  }
}
