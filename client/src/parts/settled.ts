import { useRef } from 'preact/hooks'

/** Chosen: a glove that bounces, or a drop that runs, taps twice within this; a hand that has read a screen does not. */
const BOUNCE_MS = 250

/** One tap that keeps. */
export interface OneTap {
  /** Whether this part hears taps at all. */
  hears: () => boolean
  /** Keep, unless it is deaf; `refused` is called when nothing was kept, and then it hears again. */
  keep: (act: () => Promise<void>, kept: () => void, refused: () => void) => void
}

/**
 * The second half of a double tap falls on whatever came in between, and must keep nothing there that nobody has seen:
 * no tap is heard before this part has stood for a while. Nor is one heard once something is being kept: what is
 * shown then is what is kept, and it is kept once.
 */
export function oneTapSince(now: () => number): OneTap {
  const since = now()
  let isTaken = false
  const hears = () => !isTaken && now() - since >= BOUNCE_MS
  const keep: OneTap['keep'] = (act, kept, refused) => {
    if (!hears()) return
    isTaken = true
    act().then(kept, () => {
      isTaken = false
      refused()
    })
  }
  return { hears, keep }
}

export function useOneTap(): OneTap {
  const tap = useRef<OneTap | null>(null)
  tap.current ??= oneTapSince(() => performance.now())
  return tap.current
}
