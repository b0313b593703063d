/** A count, one press a thing. */
import { useState } from 'preact/hooks'
import { MissingKey } from '../../../parts/keys'
import { BesideWords } from './figure-beside'
import { ProofFrame } from './frame'
import { ProofKey } from './proof-key'
import type { ProofProps } from './props'
import * as words from '../../../words/en/bay/proofs/count'
import { t } from '../../../words/message'

/** Above this many a count is typed: nobody presses a key a hundred times. */
export const MOST_PRESSED = 20

export function CountScreen(props: ProofProps) {
  const { proof } = props
  const [count, setCount] = useState(0)
  const target = Number(proof.target)
  const main =
    count === target ? (
      <ProofKey
        of={props}
        label={`${count} ${proof.unit ?? ''}`}
        onGiven={() => props.keep({ kind: 'figure', value: String(count) })}
      />
    ) : (
      <MissingKey
        label={t(words.of, { count, target })}
        note={count < target ? t(words.toGo, { target: target - count }) : t(words.tooMany)}
      />
    )
  return (
    <ProofFrame of={props} side="not" main={main}>
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
      {count === target && <BesideWords {...props} value={String(count)} />}
    </ProofFrame>
  )
}
