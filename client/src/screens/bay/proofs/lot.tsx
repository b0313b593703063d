/** The lot of a part, off its label: by the camera first, typed where that does not go. */
import { useState } from 'preact/hooks'
import { readLabel } from '../../../trade/gs1'
import { MissingKey } from '../../../parts/keys'
import { LetterEntry } from '../../../parts/pad'
import { ProofCode } from './code'
import { ProofFrame } from './frame'
import { ProofKey } from './proof-key'
import type { ProofProps } from './props'
import { LabelScreen } from './part-label'
import * as words from '../../../words/en/bay/proofs/lot'
import { t } from '../../../words/message'

interface LotProps extends ProofProps {
  part: string
  /** ISO date by this phone's clock. */
  today: string
  recalled: (lot: string) => string | null
}

export function LotScreen(props: LotProps) {
  const [way, setWay] = useState<'camera' | 'typed' | { read: string }>('camera')
  if (way === 'typed') return <TypedLot {...props} />
  if (way === 'camera')
    return (
      <ProofCode
        of={props}
        says={t(words.pointAtLabel)}
        read={(read) => setWay({ read })}
        type={() => setWay('typed')}
      />
    )
  const label = readLabel(way.read, Number(props.today.slice(0, 4)))
  return <LabelScreen {...props} label={label} code={way.read} again={() => setWay('camera')} />
}

function TypedLot(props: LotProps) {
  const [typed, setTyped] = useState('')
  const lot = typed.trim().toUpperCase()
  const recalled = lot === '' ? null : props.recalled(lot)
  const main =
    lot === '' || recalled !== null ? (
      <MissingKey label={recalled === null ? t(words.noLotYet) : t(words.notThisLot)} />
    ) : (
      <ProofKey of={props} label={lot} onGiven={props.keep({ kind: 'lot', part: props.part, lot })} />
    )
  const trouble =
    recalled === null
      ? null
      : { code: 'recalled', message: t(words.recalled, { lot }), hint: t(words.recalledHint, { recalled }) }
  return (
    <ProofFrame of={props} side="back" main={main} trouble={trouble} pad>
      <LetterEntry
        id="lot"
        label={props.proof.hint ?? t(words.lotOnTheLabel)}
        value={typed}
        onValue={(text) => setTyped(text.toUpperCase().slice(0, 64))}
        long
      />
    </ProofFrame>
  )
}
