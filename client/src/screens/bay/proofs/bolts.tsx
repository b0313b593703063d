/** The bolts that one torque is for, one mark each: it is set as each clicks, in their order. */
import { Seal } from '../../../parts/seal'
import type { Proof } from '../../../procedure/bundle'
import { capital } from '../../../work/letters'
import { boltPlaces } from '../../../work/bolt-places'
import { Held, Sequence } from './sequence'

interface BoltsProps {
  counted: Proof
  sequence: readonly string[]
  /** Those that are marked, by their place. */
  marked: ReadonlySet<number>
  onMark: (at: number) => void
}

export function Bolts({ counted, sequence, marked, onMark }: BoltsProps) {
  const count = Number(counted.target)
  // An order with a name for each bolt stands on the marks themselves.
  const isNamed = sequence.length === count
  const isPlaced = isNamed && boltPlaces(sequence) !== null
  const mark = (at: number) => (
    <button type="button" class="row-key" aria-pressed={marked.has(at)} onClick={() => onMark(at)}>
      <Seal state={marked.has(at) ? 'holds' : 'todo'} size={34} />
      {isPlaced && <b aria-hidden="true">{at + 1}</b>}
      {isNamed ? sequence[at] : at + 1}
    </button>
  )
  return (
    <>
      {!isNamed && <Sequence bolts={sequence} />}
      <p>{capital(counted.label)}</p>
      {isPlaced ? (
        <div class="bolts">
          <Held bolts={sequence} each={mark} />
        </div>
      ) : (
        <ul class="bolts">
          {Array.from({ length: count }, (_, at) => (
            <li>{mark(at)}</li>
          ))}
        </ul>
      )}
    </>
  )
}
