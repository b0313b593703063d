/** The drive in the room that is left for it: measured, because its words need to know how many pixels they have. */
import type { RefObject } from 'preact'
import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks'
import type { DriveNowProps } from '../../parts/drive-now'
import * as words from '../../words/en/bay/drawing'
import { t } from '../../words/message'
import { chunk, screenOf } from '../chunk'

/** The words of a step stand before its drawing does: it has its place on the screen already. */
const DriveNow = screenOf(
  chunk(() => import('../../parts/drive-now')),
  (its) => its.DriveNow,
  () => null,
)

const Drawn = screenOf(
  chunk(() => import('../../parts/drawings')),
  (its) => its.Drawn,
  () => null,
)

/** What a step is about, where the drive shows nothing of it. */
export function StepDrawn({ name }: { name: string }) {
  return (
    <div class="step-drawing">
      <Drawn name={name} />
    </div>
  )
}

/** Its writer's own picture of a step, as it comes. */
export const StepPicture = screenOf(
  chunk(() => import('./step-picture')),
  (its) => its.StepPicture,
  () => null,
)

/**
 * Long words leave a drawing under them half behind the deck: it stands beside them then, for as long as the step is shown.
 * With large text the deck is no longer over the field, and nothing is behind it.
 */
export function useBeside(below: RefObject<HTMLElement | null>, step: string): boolean {
  const [beside, setBeside] = useState<string | null>(null)
  useLayoutEffect(() => {
    const deck = below.current?.closest('.bay')?.querySelector('.deck')
    if (!below.current || !deck) return
    const { top } = deck.getBoundingClientRect()
    const end = top > 0 ? top : innerHeight // on its side the deck stands beside the field
    // As it is once the page is at its top: the screen before may have been scrolled.
    if (below.current.getBoundingClientRect().bottom + scrollY > end) setBeside(step)
  })
  return beside === step
}

const LARGER = 'M13 3h6v6M19 3l-6 6M9 19H3v-6M3 19l6-6'
const SMALLER = 'M19 9h-6V3M13 9l6-6M3 13h6v6M9 13l-6 6'

interface DrawingProps extends DriveNowProps {
  isLarge?: boolean
  /** At a tap: over the whole field, and back. */
  enlarge?: () => void
}

export function Drawing({ isLarge = false, enlarge, ...shown }: DrawingProps) {
  const box = useRef<HTMLDivElement>(null)
  const [size, setSize] = useState<{ width: number; height: number } | null>(null)
  useEffect(() => {
    if (!box.current) return undefined
    const watch = new ResizeObserver(([entry]) => {
      if (entry)
        setSize({ width: Math.floor(entry.contentRect.width), height: Math.floor(entry.contentRect.height) })
    })
    watch.observe(box.current)
    return () => watch.disconnect()
  }, [])
  return (
    <div class="step-drawing" ref={box}>
      {size && size.width > 40 && <DriveNow {...shown} {...size} />}
      {enlarge && (
        <button
          type="button"
          aria-pressed={isLarge}
          aria-label={t(words.large)}
          title={t(words.large)}
          onClick={enlarge}
        >
          <svg width="22" height="22" viewBox="0 0 22 22" aria-hidden="true">
            <path d={isLarge ? SMALLER : LARGER} />
          </svg>
        </button>
      )}
    </div>
  )
}
