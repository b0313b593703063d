/** How sharp a photo was judged to be by the phone that took it, in words. Pure. */
import { advise, RETAKE_BELOW, WARN_BELOW } from '../../instruments/shot-advice'
import type { Body } from '../../ledger/bodies'
import * as words from '../../words/en/record/photo-sharpness'
import { t } from '../../words/message'

export function sharpnessWords({ quality, how }: Pick<Body<'photo.taken'>, 'quality' | 'how'>): string {
  if (!quality) return t(words.notJudged, { isPicked: how === 'picked' })
  const { sharp_tenths, mean, blown_permille } = quality
  return t(words.judged, {
    says: advise(quality).message,
    sharp: (sharp_tenths / 10).toFixed(1),
    mean,
    blown: (blown_permille / 10).toFixed(1),
  })
}

/** What photos are asked for by how sharp they were judged. */
export const SHARPNESS = {
  blurred: { sharp_below: RETAKE_BELOW },
  soft: { sharp_from: RETAKE_BELOW, sharp_below: WARN_BELOW },
  sharp: { sharp_from: WARN_BELOW },
  unjudged: { is_unjudged: true },
} as const
