/** A part's label as the camera read it: what it says is seen before it is kept, and an expired or recalled part is refused. */
import { HoldKey, MissingKey, SideKey } from '../../../parts/keys'
import type { Trouble } from '../../../store'
import type { Label } from '../../../trade/gs1'
import { Facts } from '../facts'
import { ProofFrame } from './frame'
import { doneWords, type ProofProps } from './props'

export interface LabelScreenProps extends ProofProps {
  part: string
  label: Label
  /** The text as it was read: kept with the lot, so that anybody can read it again. */
  code: string
  /** ISO date by this phone's clock. */
  today: string
  recalled: (lot: string) => string | null
  again: () => void
}

/** Why this label cannot be kept; null when it can. */
export function labelTrouble(
  label: Label,
  today: string,
  recalled: (lot: string) => string | null,
): Trouble | null {
  if (!label.accepted) return { code: label.code, message: label.message, hint: label.hint }
  if (label.lot === undefined)
    return {
      code: 'no-lot',
      message: 'This code does not name the lot.',
      hint: 'Point at another code on the label, or type the lot from the print.',
    }
  if (label.expires !== undefined && label.expires < today)
    return {
      code: 'expired',
      message: `This part was good until ${label.expires}.`,
      hint: 'Do not fit it. Take another part.',
    }
  const because = recalled(label.lot)
  return because === null
    ? null
    : { code: 'recalled', message: `Lot ${label.lot} is recalled.`, hint: `${because} Take another part.` }
}

export function LabelScreen(props: LabelScreenProps) {
  const { label, code, part, today, again } = props
  const trouble = labelTrouble(label, today, props.recalled)
  const { lot = '', serial } = label
  const keep = () => props.keep({ kind: 'lot', part, lot, code, ...(serial === undefined ? {} : { serial }) })
  const facts: [string, string][] = [
    ['lot', lot || 'not in this code'],
    ...(serial === undefined ? [] : [['serial', serial] as [string, string]]),
    ...(label.gtin === undefined ? [] : [['item', label.gtin] as [string, string]]),
    ...(label.expires === undefined ? [] : [['good until', label.expires] as [string, string]]),
  ]
  return (
    <ProofFrame
      of={props}
      side={<SideKey icon="again" label="again" onPress={again} />}
      main={
        trouble ? (
          <MissingKey label={label.lot === undefined ? 'No lot yet' : 'Not this part'} />
        ) : (
          <HoldKey label={lot} note="is on the label" onHeld={keep} done={doneWords(props)} />
        )
      }
      trouble={trouble}
    >
      <Facts facts={facts} />
      {label.doubts.map((doubt) => (
        <p class="stop-words">{doubt}</p>
      ))}
      {!trouble && label.doubts.length === 0 && (
        <p>{label.code === 'label-plain' ? label.hint : 'Compare the lot with the print on the label.'}</p>
      )}
    </ProofFrame>
  )
}
