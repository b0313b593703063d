/** The order in which bolts are tightened. */
import { Seal } from '../../../parts/seal'
import './proofs.css'
import * as says from '../../../words/en/bay/proofs/sequence'
import { t } from '../../../words/message'

export function Sequence({ bolts }: { bolts: readonly string[] }) {
  if (bolts.length === 0) return null
  return (
    <ol class="sequence" aria-label={t(says.orderOfTheBolts)}>
      {bolts.map((bolt) => (
        <li>
          <Seal state="todo" size={24} />
          {bolt}
        </li>
      ))}
    </ol>
  )
}
