/**
 * When this phone was not looked at. Work with the screen lit is no break, however long the step takes;
 * a phone that was put away, or was dead, may have missed something.
 */
import type { Gap } from '../../work/job'

/** The page was not there before it began: nobody knows since when. */
const gaps: Gap[] = [{ from: -Infinity, to: Date.now() }]

export const gapsNow = (): readonly Gap[] => gaps

/** Keep watch; called once by the bay. Returns what ends it. */
export function watchPresence(): () => void {
  let hiddenAt: number | null = null
  const changed = () => {
    if (document.visibilityState === 'hidden') hiddenAt = Date.now()
    else if (hiddenAt !== null) {
      gaps.push({ from: hiddenAt, to: Date.now() })
      hiddenAt = null
    }
  }
  document.addEventListener('visibilitychange', changed)
  return () => document.removeEventListener('visibilitychange', changed)
}
