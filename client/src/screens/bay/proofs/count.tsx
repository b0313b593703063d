/** A count, one press a thing. */
import { useState } from 'preact/hooks'
import { MissingKey } from '../../../parts/keys'
import { BesideWords } from './figure-beside'
import { ProofFrame } from './frame'
import { ProofKey } from './proof-key'
import type { ProofProps } from './props'
import * as words from '../../../words/en/bay/proofs/count'
import { t } from '../../../words/message'

/** @returns what counts, for the field, and the key for the deck; on a screen of its own or on the step's */
export function useCounting(props: Pick<ProofProps, 'proof' | 'paints' | 'keep'>) {
  const { proof } = props
  const [count, setCount] = useState(0)
  const target = Number(proof.target)
  const main =
    count === target ? (
      <ProofKey
        of={props}
        label={`${count} ${proof.unit ?? ''}`}
        onGiven={props.keep({ kind: 'figure', value: String(count) })}
      />
    ) : (
      <MissingKey
        label={t(words.of, { count, target })}
        note={count < target ? t(words.toGo, { target: target - count }) : t(words.tooMany)}
      />
    )
  const counter = (
    <div class="count" role="group" aria-label={proof.label}>
      <button type="button" aria-label={t(words.oneLess)} onClick={() => setCount(Math.max(0, count - 1))}>
        −
      </button>
      <p class="figure" aria-live="polite">
        {count} <small>{t(words.ofTarget, { target })}</small>
      </p>
      <button type="button" aria-label={t(words.oneMore)} onClick={() => setCount(count + 1)}>
        +
      </button>
    </div>
  )
  return { counter, main, isWhole: count === target }
}

export function CountScreen(props: ProofProps) {
  const { counter, main, isWhole } = useCounting(props)
  return (
    <ProofFrame of={props} side="not" main={main}>
      {counter}
      {isWhole && <BesideWords {...props} value={String(props.proof.target)} />}
    </ProofFrame>
  )
}
