/** What to say of a photo by its three figures (`sharpness.ts`): an advice, never a lock. */
import type { Quality } from './sharpness'
import * as words from '../words/en/instruments/shot-advice'
import { t } from '../words/message'

/** Chosen, in tenths, from ten photos, none of an engine: hence advice, and the comparison with the shot before. */
export const RETAKE_BELOW = 250
/** Chosen, in tenths, from the same photos. */
export const WARN_BELOW = 330
/** Chosen: a tenth of the picture in plain white hides something. */
const MOST_BLOWN_PERMILLE = 100
/** Chosen, of 255: darker, and noise is taken for detail. */
const LEAST_MEAN = 60

export interface Advice {
  verdict: 'ok' | 'warn' | 'retake'
  code: 'fine' | 'soft' | 'blurred' | 'blown' | 'dark'
  message: string
  hint: string
}

/** What to say of a shot. The light first: in a dark or white picture sharpness means little. */
export function advise({ sharp_tenths, mean, blown_permille }: Quality): Advice {
  if (blown_permille > MOST_BLOWN_PERMILLE)
    return advice('retake', 'blown', t(words.blown), t(words.blownHint))
  if (mean < LEAST_MEAN) return advice('retake', 'dark', t(words.dark), t(words.darkHint))
  if (sharp_tenths < RETAKE_BELOW) return advice('retake', 'blurred', t(words.blurred), t(words.blurredHint))
  if (sharp_tenths < WARN_BELOW) return advice('warn', 'soft', t(words.soft), t(words.softHint))
  return advice('ok', 'fine', t(words.fine), '')
}

const advice = (verdict: Advice['verdict'], code: Advice['code'], message: string, hint: string): Advice => ({
  verdict,
  code,
  message,
  hint,
})

interface Comparison {
  better: 'before' | 'after' | 'alike'
  message: string
}

/**
 * A retake is compared with the shot before: of one scene the blurred shot scored lower every time, which no threshold
 * can say. Within a tenth of each other they are alike. A shot spoilt by its light loses to one that is not.
 */
export function compareShots(before: Quality, after: Quality): Comparison {
  const spoilt = (quality: Quality) => ['blown', 'dark'].includes(advise(quality).code)
  if (spoilt(before) !== spoilt(after)) return spoilt(before) ? AFTER_LIGHT : BEFORE_LIGHT
  if (10 * after.sharp_tenths > 11 * before.sharp_tenths)
    return { better: 'after', message: t(words.sharper) }
  if (10 * before.sharp_tenths > 11 * after.sharp_tenths)
    return { better: 'before', message: t(words.lessSharp) }
  return { better: 'alike', message: t(words.asSharp) }
}

const AFTER_LIGHT: Comparison = { better: 'after', message: t(words.betterLit) }
const BEFORE_LIGHT: Comparison = { better: 'before', message: t(words.worseLit) }
