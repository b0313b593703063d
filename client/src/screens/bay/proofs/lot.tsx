/** The lot of a part, off its label. */
import { useState } from 'preact/hooks'
import { HoldKey, MissingKey } from '../../../parts/keys'
import { EntryLine, LetterPad } from '../../../parts/pad'
import { ProofFrame } from './frame'
import { doneWords, type ProofProps } from './kinds'

export function LotScreen(props: ProofProps & { part: string; recalled: (lot: string) => string | null }) {
  const [typed, setTyped] = useState('')
  const lot = typed.trim().toUpperCase()
  const recalled = lot === '' ? null : props.recalled(lot)
  const main =
    lot === '' || recalled !== null ? (
      <MissingKey label={recalled === null ? 'No lot yet' : 'Not this lot'} />
    ) : (
      <HoldKey label={lot} onHeld={() => props.keep({ kind: 'lot', part: props.part, lot })} done={doneWords(props)} />
    )
  const trouble = recalled === null ? null : { code: 'recalled', message: `Lot ${lot} is recalled.`, hint: `${recalled} Take another part.` }
  return (
    <ProofFrame of={props} side="back" main={main} trouble={trouble} pad>
      <div>
        <EntryLine id="lot" label={props.proof.hint ?? 'Lot on the label'} value={typed} onValue={(text) => setTyped(text.toUpperCase().slice(0, 64))} long />
      </div>
      <LetterPad value={typed} onValue={setTyped} />
    </ProofFrame>
  )
}
