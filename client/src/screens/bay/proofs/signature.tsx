/** A signature, drawn with the finger; first what is signed, where that is somebody's who did not do the work. */
import type { ComponentChildren } from 'preact'
import { useState } from 'preact/hooks'
import { MissingKey, PlainKey, SideKey } from '../../../parts/keys'
import { SignaturePad } from '../../../parts/signature'
import { ProofFrame } from './frame'
import { ProofKey } from './proof-key'
import type { ProofProps } from './props'
import * as words from '../../../words/en/bay/proofs/signature'
import { t } from '../../../words/message'

/** @param first is read before there is a place to sign */
export function SignatureScreen({ first = null, ...props }: ProofProps & { first?: ComponentChildren }) {
  const [path, setPath] = useState('')
  const [isRead, setRead] = useState(first === null)
  const isDrawn = path !== ''
  if (!isRead)
    return (
      <ProofFrame
        of={props}
        side="not"
        main={<PlainKey label={t(words.nowSign)} note={props.proof.label} onPress={() => setRead(true)} />}
      >
        <p>{t(words.readFirst)}</p>
        {first}
      </ProofFrame>
    )
  return (
    <ProofFrame
      of={props}
      side={isDrawn ? <SideKey icon="again" label={t(words.again)} onPress={() => setPath('')} /> : 'back'}
      main={
        isDrawn ? (
          <ProofKey of={props} label={t(words.thisIsSigned)} onGiven={props.keep({ kind: 'drawn', path })} />
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
