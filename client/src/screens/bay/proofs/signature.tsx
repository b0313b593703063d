/** A signature, drawn with the finger. */
import { useState } from 'preact/hooks'
import { MissingKey, SideKey } from '../../../parts/keys'
import { SignaturePad } from '../../../parts/signature'
import { ProofFrame } from './frame'
import { ProofKey } from './proof-key'
import type { ProofProps } from './props'
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
          <ProofKey
            of={props}
            label={t(words.thisIsSigned)}
            onGiven={() => props.keep({ kind: 'drawn', path })}
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
