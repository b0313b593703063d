/** What the phone makes of a shot: its two halves in line or apart, a sentence, and the shot before. An advice, never a lock. */
import { Halves } from '../../../parts/halves'
import { advise, compareShots, type Advice } from '../../../instruments/shot-advice'
import type { Quality } from '../../../instruments/sharpness'
import { RowKey } from '../rows'
import { useQuality, type Shot } from './photo-shot'
import * as words from '../../../words/en/bay/proofs/sharpness'
import { t } from '../../../words/message'

const APART: Record<Advice['verdict'], number> = { ok: 0, warn: 0.5, retake: 2 }

interface SharpnessProps {
  shot: Shot
  before: Shot | null
  takeBefore: () => void
}

export function Sharpness({ shot, before, takeBefore }: SharpnessProps) {
  const quality = useQuality(shot)
  const earlier = useQuality(before)
  const advice = quality && advise(quality)
  const compared = quality && earlier ? compareShots(earlier, quality) : null
  return (
    <>
      <div role="status" class="verdict">
        {advice ? (
          <>
            <Halves apart={APART[advice.verdict]} />
            <p>
              <b>{advice.message}</b> {compared?.message ?? advice.hint}
            </p>
          </>
        ) : (
          <p>{quality === null ? t(words.notTold) : t(words.measuring)}</p>
        )}
      </div>
      {compared?.better === 'before' && (
        <ul class="rows">
          <RowKey onPress={takeBefore}>{t(words.shotBefore)}</RowKey>
        </ul>
      )}
    </>
  )
}

/** In one line, where there is no room for more: only what speaks against a shot. */
export function doubtWords(quality: Quality | null | undefined): string | null {
  const advice = quality && advise(quality)
  return advice && advice.verdict === 'retake' ? `${advice.message} ${advice.hint}` : null
}
