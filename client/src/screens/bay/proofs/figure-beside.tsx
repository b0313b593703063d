/** The figure of the other part, under the one that was just read: never before, so that it is not read into it. */
import type { Proof } from '../../../procedure/bundle'
import { apartWords, differ, type Beside } from '../../../work/figure-beside'
import { capital } from '../../../work/letters'
import { withUnit } from '../../../work/limits'
import * as words from '../../../words/en/bay/proofs/figure-beside'
import { t } from '../../../words/message'

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
  if (against.value === null) return <p>{t(words.notReadYet, { label: capital(against.label) })}</p>
  return (
    <div role="status">
      <p>
        {capital(against.label)}: <b>{withUnit(against.value, proof.unit)}</b>,{' '}
        {apartWords(value, against.value, proof.unit)}.
      </p>
      {differ(value, against.value, proof) && <p class="stop-words">{t(words.figuresDiffer)}</p>}
    </div>
  )
}
