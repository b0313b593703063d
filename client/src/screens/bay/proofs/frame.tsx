/** What the screen of every short proof has round it: title, trouble, a way out beside the main key, the hint. */
import type { ComponentChildren } from 'preact'
import type { Trouble } from '../../../store'
import { Frame } from '../frame'
import type { ProofProps } from './props'
import { SealedWith } from './sealed-with'
import { BackKey, NotLikeThat } from '../act-keys'

interface ProofFrameProps {
  of: ProofProps
  /** The way out: back to the step, to its failures where it has any, or a key of the screen's own. */
  side: 'back' | 'not' | ComponentChildren
  main: ComponentChildren
  children: ComponentChildren
  /** What the screen itself refuses goes before what the store could not keep. */
  trouble?: Trouble | null
  /** A pad needs the room of head band and hint. */
  pad?: boolean
}

/** The way out of a proof: to the failures of its step where it has any, else back to the step. */
export const NotSo = ({ fail, back }: Pick<ProofProps, 'fail' | 'back'>) => (
  <NotLikeThat fail={fail} instead={<BackKey back={back} />} />
)

export function ProofFrame({ of, side, main, children, trouble, pad = false }: ProofFrameProps) {
  const { proof, head } = of
  return (
    <Frame
      head={pad ? undefined : head}
      title={proof.label}
      trouble={trouble ?? of.trouble}
      side={side === 'back' ? <BackKey back={of.back} /> : side === 'not' ? <NotSo {...of} /> : side}
      main={main}
    >
      {children}
      {!pad && proof.hint !== undefined && <p>{proof.hint}</p>}
      {!pad && <SealedWith {...of} />}
    </Frame>
  )
}
