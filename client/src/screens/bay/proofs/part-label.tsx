/** A part's label as the camera read it: what it says is seen before it is kept, and an expired or recalled part is refused. */
import { MissingKey, SideKey } from '../../../parts/keys'
import type { Trouble } from '../../../store'
import type { Label } from '../../../trade/gs1'
import { Facts } from '../facts'
import { ProofFrame } from './frame'
import { ProofKey } from './proof-key'
import type { ProofProps } from './props'
import * as words from '../../../words/en/bay/proofs/part-label'
import { t } from '../../../words/message'

interface LabelScreenProps extends ProofProps {
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
function labelTrouble(label: Label, today: string, recalled: (lot: string) => string | null): Trouble | null {
  if (!label.accepted) return { code: label.code, message: label.message, hint: label.hint }
  if (label.lot === undefined)
    return {
      code: 'no-lot',
      message: t(words.noLot),
      hint: t(words.noLotHint),
    }
  if (label.expires !== undefined && label.expires < today)
    return {
      code: 'expired',
      message: t(words.expired, { expires: label.expires }),
      hint: t(words.expiredHint),
    }
  const because = recalled(label.lot)
  return because === null
    ? null
    : {
        code: 'recalled',
        message: t(words.recalled, { lot: label.lot }),
        hint: t(words.recalledHint, { because }),
      }
}

export function LabelScreen(props: LabelScreenProps) {
  const { label, code, part, today, again } = props
  const trouble = labelTrouble(label, today, props.recalled)
  const { lot = '', serial } = label
  const keep = props.keep({ kind: 'lot', part, lot, code, ...(serial === undefined ? {} : { serial }) })
  const facts: [string, string][] = [
    [t(words.lotLabel), lot || t(words.notInThisCode)],
    ...(serial === undefined ? [] : [[t(words.serialLabel), serial] as [string, string]]),
    ...(label.gtin === undefined ? [] : [[t(words.itemLabel), label.gtin] as [string, string]]),
    ...(label.expires === undefined ? [] : [[t(words.goodUntil), label.expires] as [string, string]]),
  ]
  return (
    <ProofFrame
      of={props}
      side={<SideKey icon="again" label={t(words.again)} onPress={again} />}
      main={
        trouble ? (
          <MissingKey label={label.lot === undefined ? t(words.noLotYet) : t(words.notThisPart)} />
        ) : (
          <ProofKey of={props} label={lot} note={t(words.isOnTheLabel)} onGiven={keep} />
        )
      }
      trouble={trouble}
    >
      <Facts facts={facts} />
      {label.doubts.map((doubt) => (
        <p class="stop-words">{doubt}</p>
      ))}
      {!trouble && label.doubts.length === 0 && (
        <p>{label.code === 'label-plain' ? label.hint : t(words.compareTheLot)}</p>
      )}
    </ProofFrame>
  )
}
