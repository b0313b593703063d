/** The figure of the other part, under the one that was just read: never before, so that it is not read into it. */
import type { Proof } from '../../../procedure/bundle'
import { apartWords, differ, type Beside } from '../../../work/figure-beside'
import { capital } from '../../../work/job'
import { withUnit } from '../../../work/limits'

export function BesideWords({
  against,
  value,
  proof,
}: {
  against?: Beside | null
  value: string
  proof: Proof
}) {
  if (!against) return null
  if (against.value === null) return <p>{capital(against.label)}: not read yet.</p>
  return (
    <div role="status">
      <p>
        {capital(against.label)}: <b>{withUnit(against.value, proof.unit)}</b>,{' '}
        {apartWords(value, against.value, proof.unit)}.
      </p>
      {differ(value, against.value, proof) && (
        <p class="stop-words">
          The two differ. Read both once more. If they stay apart, one of them is the wrong part: do not fit
          it.
        </p>
      )}
    </div>
  )
}
