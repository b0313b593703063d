/** A signature, drawn with the finger. */
import { useState } from 'preact/hooks'
import { HoldKey, MissingKey, SideKey } from '../../../parts/keys'
import { SignaturePad } from '../../../parts/signature'
import { ProofFrame } from './frame'
import { doneWords, type ProofProps } from './props'
import * as words from '../../../words/en/bay/proofs/signature'
import { t } from '../../../words/message'

export function SignatureScreen(props: ProofProps) {
  const [path, setPath] = useState('')
  const isDrawn = path !== ''
  return (
    <ProofFrame
      of={props}
      side={isDrawn ? <SideKey icon="again" label={t(words.again)} onPress={() => setPath('')} /> : 'back'}
      main={
        isDrawn ? (
          <HoldKey
            label={t(words.thisIsSigned)}
            onHeld={() => props.keep({ kind: 'drawn', path })}
            done={doneWords(props)}
          />
        ) : (
          <MissingKey label={t(words.signAbove)} />
        )
      }
    >
      <SignaturePad label={props.proof.label} path={path} onPath={setPath} />
      <p class="soft">{t(words.privateValue)}</p>
    </ProofFrame>
  )
}
