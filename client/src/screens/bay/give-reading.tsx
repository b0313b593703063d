/** The ways to take a reading, best first: the phone's instruments that the procedure names, and the hand behind them. */
import { useState } from 'preact/hooks'
import type { Proof, Step } from '../../procedure/bundle'
import { GiveTool, GiveTorque, toolFor, type Measuring } from './give-torque'
import { dialOf } from '../../work/dial'
import { settingNm } from '../../work/limits'
import type { NextWay, ProofProps, WayProps } from './proofs/props'
import { MarksScreen, PluckScreen, TurnScreen } from './proofs/instrument-screens'
import type { PhotoProps } from './proofs/photo'
import { ReadingScreen } from './proofs/reading'
import { AngleScreen } from './proofs/torque'
import { firstWay, waysOf } from '../../work/ways'
import * as words from '../../words/en/bay/give-reading'
import { t } from '../../words/message'

interface Asking {
  measuring: Measuring
  props: ProofProps
}

/** Whether the screen of the hand has room for the row that leads back to the instrument: beside a pad it has none. */
const leadsBack = ({ asked, wanted }: Measuring): boolean =>
  dialOf(wanted.proof) !== null || isTurned(asked.step, wanted.proof)

const isTurned = (step: Step, proof: Proof): boolean =>
  step.torque?.angle_deg !== undefined && proof.unit === '°'

export function GiveReading({ measuring, props, ...photo }: Asking & Pick<PhotoProps, 'intend' | 'expect'>) {
  const ways = waysOf(props.proof)
  const [tried, setTried] = useState(() => (leadsBack(measuring) ? firstWay(props.proof, measuring.now) : 0))
  const [way, other] = ways.slice(tried)
  const next = other === undefined ? null : { says: t(words.saidBy[other]), go: () => setTried(tried + 1) }
  const instead = ways[0] === way ? null : { says: t(words.saidBy[ways[0] ?? 'hand']), go: () => setTried(0) }
  const of: WayProps = {
    ...forInstrument(props, next),
    store: measuring.store,
    bundle: measuring.now.bundle,
    next,
  }
  switch (way) {
    case 'pluck':
      return <PluckScreen {...of} />
    case 'marks':
      return <MarksScreen {...of} {...photo} />
    case 'turn':
      return <TurnScreen {...of} />
    case 'hand':
    case undefined:
      return <ByHand measuring={measuring} props={{ ...props, instead }} />
  }
}

/** Where a hand is behind an instrument, the hint is for the hand: it comes up on its own screen. */
function forInstrument(props: ProofProps, next: NextWay | null): ProofProps {
  if (!next) return props
  const { hint: _, ...proof } = props.proof
  return { ...props, proof }
}

/** With the eye and the mechanic's own tools. */
function ByHand({ measuring, props }: Asking) {
  const { asked, wanted, toStep } = measuring
  const nm = settingNm(asked.step, wanted.proof)
  if (nm !== null) return <GiveTorque measuring={measuring} nm={nm} props={props} />
  if (asked.step.torque?.angle_deg !== undefined && isTurned(asked.step, wanted.proof))
    return <AngleScreen {...props} deg={asked.step.torque.angle_deg} />
  if (wanted.proof.tool === undefined) return <ReadingScreen {...props} tool={null} otherTool={null} />
  const tool = toolFor(measuring)
  return tool ? (
    <ReadingScreen {...props} tool={tool.tool} otherTool={() => toStep('wrench', wanted.proof.name)} />
  ) : (
    <GiveTool {...measuring} />
  )
}
