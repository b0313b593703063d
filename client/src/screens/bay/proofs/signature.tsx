/** A signature, drawn with the finger. */
import { useState } from 'preact/hooks'
import { HoldKey, MissingKey, SideKey } from '../../../parts/keys'
import { SignaturePad } from '../../../parts/signature'
import { ProofFrame } from './frame'
import { doneWords, type ProofProps } from './props'

export function SignatureScreen(props: ProofProps) {
  const [path, setPath] = useState('')
  const isDrawn = path !== ''
  return (
    <ProofFrame
      of={props}
      side={isDrawn ? <SideKey icon="again" label="again" onPress={() => setPath('')} /> : 'back'}
      main={
        isDrawn ? (
          <HoldKey
            label="This is signed"
            onHeld={() => props.keep({ kind: 'drawn', path })}
            done={doneWords(props)}
          />
        ) : (
          <MissingKey label="Sign above" />
        )
      }
    >
      <SignaturePad label={props.proof.label} path={path} onPath={setPath} />
      <p class="soft">The drawing is a private value: it can be erased later, the record of it stays.</p>
    </ProofFrame>
  )
}
