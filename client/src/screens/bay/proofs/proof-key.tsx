/**
 * The key that gives a proof: the step's last is held and seals it, any other is kept at a tap. What nothing but
 * this key says (a wrench has clicked, and no bolt was marked) is always held, by `HoldKey`: a drop of water must not say it.
 */
import type { Deed } from '../../../parts/deed'
import { HoldKey, KeepKey } from '../../../parts/keys'
import type { ProofProps } from './props'

interface ProofKeyProps {
  of: Pick<ProofProps, 'paints'>
  label: string
  note?: string
  onGiven: Deed
}

export const ProofKey = ({ of, onGiven, ...says }: ProofKeyProps) =>
  of.paints ? <HoldKey {...says} onHeld={onGiven} /> : <KeepKey {...says} onKeep={onGiven} />
