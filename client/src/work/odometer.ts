/** What stands on an odometer, as people type it. Pure. */

/** The international mile, exactly (NIST SP 811, 2008, appendix B.8). */
export const KM_A_MILE = 1.609344
/** Chosen: nothing that this app is for has gone farther. */
export const MOST_KM = 2_000_000

/** Digits, in groups of three or in one; a dot, a comma, an apostrophe or a space stands between groups. */
const GROUPED = /^\d{1,3}(?:[.,'’ \u00a0\u202f]\d{3})+$|^\d+$/

export type Odometer = { km: number } | { wrong: 'none' | 'noNumber' | 'tooFar' }

/** Whole kilometres, or why there are none. */
export function odometer(typed: string, inMiles: boolean): Odometer {
  const text = typed.trim()
  if (text === '') return { wrong: 'none' }
  if (!GROUPED.test(text)) return { wrong: 'noNumber' }
  const km = Math.round(Number(text.replace(/\D/g, '')) * (inMiles ? KM_A_MILE : 1))
  return km > MOST_KM ? { wrong: 'tooFar' } : { km }
}
