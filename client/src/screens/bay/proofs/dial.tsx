/**
 * A figure that was read off a gauge, moved on a large scale. It is empty until a finger has moved it: a figure that
 * is given is not measured. One that lies beside the scale, or between its marks, is typed.
 */
import { Scale } from '../../../parts/scale'
import { type Dial, figureAt } from '../../../work/dial'
import { withUnit } from '../../../work/limits'
import { RowKey } from '../rows'
import * as words from '../../../words/en/bay/proofs/dial'
import { t } from '../../../words/message'
import type { ProofProps } from './props'

interface DialProps {
  dial: Dial
  of: ProofProps
  /** Null until it was moved. */
  value: string | null
  onValue: (value: string) => void
  typeIt: () => void
}

export function DialScale({ dial, of: { proof }, value, onValue, typeIt }: DialProps) {
  const { from, to, places } = dial
  const [least, most] = [figureAt(dial, from), figureAt(dial, to)]
  const markOf = (figure: string) => Math.round(Number(figure) * 10 ** places)
  const at = value === null ? Math.round((from + to) / 2) : markOf(value)
  const moveTo = (next: number) => onValue(figureAt(dial, Math.min(to, Math.max(from, next))))
  const step = (by: number, label: string, sign: string) => (
    <button type="button" aria-label={label} disabled={value === null} onClick={() => moveTo(at + by)}>
      {sign}
    </button>
  )
  return (
    <>
      <div class="count">
        {step(-1, t(words.oneLess), '−')}
        <p class="figure">
          {value ?? '–'} <small>{proof.unit}</small>
        </p>
        {step(1, t(words.oneMore), '+')}
      </div>
      <div class="dial">
        <Scale
          {...proof}
          unit={proof.unit ?? ''}
          readings={value === null ? [] : [value]}
          from={Number(least)}
          to={Number(most)}
        />
        <input
          type="range"
          aria-label={t(words.scale, { label: proof.label })}
          aria-valuetext={value === null ? t(words.notMoved) : withUnit(value, proof.unit)}
          min={least}
          max={most}
          step={figureAt(dial, 1)}
          value={figureAt(dial, at)}
          onInput={(event) => moveTo(markOf(event.currentTarget.value))}
          // A tap on the middle moves nothing, and is meant all the same.
          onPointerUp={(event) => moveTo(markOf(event.currentTarget.value))}
        />
      </div>
      <ul class="rows">
        <RowKey onPress={typeIt}>{t(words.typeIt)}</RowKey>
      </ul>
    </>
  )
}
