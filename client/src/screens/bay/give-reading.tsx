/** The ways to take a reading, best first: the phone's instruments that the procedure names, and the hand behind them. */
import { useState } from 'preact/hooks'
import type { Proof, Way } from '../../procedure/bundle'
import { GiveTool, GiveTorque, toolFor, type Measuring } from './give-torque'
import { settingNm } from '../../work/limits'
import type { NextWay, ProofProps, WayProps } from './proofs/props'
import { MarksScreen, PluckScreen, TurnScreen } from './proofs/instrument-screens'
import type { PhotoProps } from './proofs/photo'
import { ReadingScreen } from './proofs/reading'
import { AngleScreen } from './proofs/torque'
import * as words from '../../words/en/bay/give-reading'
import { t } from '../../words/message'

interface Asking {
  measuring: Measuring
  props: ProofProps
}

const SAID: Record<Way, string> = {
  pluck: t(words.bySound),
  marks: t(words.byMarks),
  turn: t(words.byPhone),
  hand: t(words.byHand),
}

/** Those that remain when `tried` of them were of no use here. */
export const ways = ({ by = ['hand'] }: Proof, tried: number): readonly Way[] => by.slice(tried)

export function GiveReading({ measuring, props, ...photo }: Asking & Pick<PhotoProps, 'intend' | 'expect'>) {
  const [tried, setTried] = useState(0)
  const [way, other] = ways(props.proof, tried)
  const next = other === undefined ? null : { says: SAID[other], go: () => setTried(tried + 1) }
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
    default:
      return <ByHand measuring={measuring} props={props} />
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
  if (asked.step.torque?.angle_deg !== undefined && wanted.proof.unit === '°')
    return <AngleScreen {...props} deg={asked.step.torque.angle_deg} />
  if (wanted.proof.tool === undefined) return <ReadingScreen {...props} tool={null} otherTool={null} />
  const tool = toolFor(measuring)
  return tool ? (
    <ReadingScreen {...props} tool={tool.tool} otherTool={() => toStep('wrench', wanted.proof.name)} />
  ) : (
    <GiveTool {...measuring} />
  )
}
