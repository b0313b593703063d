/** A picture on the screen: the whole of it, or at its full size to be moved about. */
import { useLayoutEffect, useRef } from 'preact/hooks'
import * as words from '../../../words/en/bay/proofs/picture'
import { t } from '../../../words/message'

export function Whole({ url, onTap }: { url: string; onTap?: () => void }) {
  const image = <img src={url} alt={t(words.photoJustTaken)} />
  if (!onTap) return <div class="finder">{image}</div>
  return (
    <button type="button" class="finder" onClick={onTap}>
      {image}
    </button>
  )
}

/** One pixel of the picture is one of the screen. The browser's own scrolling moves it: that works in gloves. */
export function FullSize({ url, pixels, onTap }: { url: string; pixels: number; onTap: () => void }) {
  const box = useRef<HTMLDivElement>(null)
  const middle = () =>
    box.current?.scrollTo(
      (box.current.scrollWidth - box.current.clientWidth) / 2,
      (box.current.scrollHeight - box.current.clientHeight) / 2,
    )
  useLayoutEffect(middle, [url])
  return (
    <div
      class="finder finder-full"
      ref={box}
      role="group"
      tabIndex={0}
      aria-label={t(words.photoAtFullSize)}
      onClick={onTap}
      onKeyDown={(event) => event.key === 'Enter' && onTap()}
    >
      <img
        src={url}
        alt={t(words.photoJustTaken)}
        onLoad={middle}
        style={{ width: `max(100%, ${pixels / devicePixelRatio}px)` }}
      />
    </div>
  )
}
