/** What the screen of every short proof has round it: title, trouble, a way out beside the main key, the hint. */
import type { ComponentChildren } from 'preact'
import { SideKey } from '../../../parts/keys'
import type { Trouble } from '../../../store'
import { Frame } from '../frame'
import type { ProofProps } from './props'
import * as words from '../../../words/en/bay/proofs/frame'
import { t } from '../../../words/message'
import { NotLikeThat } from '../act-keys'

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

const Back = ({ back }: ProofProps) => <SideKey icon="back" label={t(words.back)} onPress={back} />
const NotSo = (of: ProofProps) => <NotLikeThat fail={of.fail} instead={<Back {...of} />} />

export function ProofFrame({ of, side, main, children, trouble, pad = false }: ProofFrameProps) {
  const { proof, head } = of
  return (
    <Frame
      head={pad ? undefined : head}
      title={proof.label}
      trouble={trouble ?? of.trouble}
      deck={
        <>
          {side === 'back' ? <Back {...of} /> : side === 'not' ? <NotSo {...of} /> : side}
          {main}
        </>
      }
    >
      {children}
      {!pad && proof.hint !== undefined && <p>{proof.hint}</p>}
    </Frame>
  )
}
