/** A picture at a step, as its writer cut it out, with his arrow on it and the line to remember it by. */
import { useEffect, useState } from 'preact/hooks'
import type { Arrow, Picture } from '../../procedure/shape'
import * as words from '../../words/en/bay/step-picture'
import { t } from '../../words/message'

/** The bytes of a picture by its name among the procedure's assets; null where they are not on this device. */
export type ReadPicture = (asset: string) => Promise<Blob | null>

interface Opened {
  url: string
  width: number
  height: number
}

async function opened(bytes: Blob): Promise<Opened> {
  const image = new Image()
  image.src = URL.createObjectURL(bytes)
  await image.decode()
  return { url: image.src, width: image.naturalWidth, height: image.naturalHeight }
}

export function StepPicture({ picture, read }: { picture: Picture; read: ReadPicture }) {
  const [shown, setShown] = useState<Opened | 'coming' | 'missing'>('coming')
  // biome-ignore lint/correctness/useExhaustiveDependencies: read anew for another picture alone
  useEffect(() => {
    let isGone = false
    let url = ''
    read(picture.asset)
      .then((bytes) => bytes && opened(bytes))
      .then((is) => {
        url = is?.url ?? ''
        if (!isGone) setShown(is ?? 'missing')
      })
      .catch(() => !isGone && setShown('missing'))
    return () => {
      isGone = true
      URL.revokeObjectURL(url)
    }
  }, [picture.asset])
  return (
    <figure class="step-picture">
      {typeof shown === 'object' && <Cut picture={picture} {...shown} />}
      {shown === 'missing' && <p class="soft">{t(words.notHere)}</p>}
      {picture.says !== undefined && <figcaption>{picture.says}</figcaption>}
    </figure>
  )
}

const WHOLE = { left_percent: 0, top_percent: 0, width_percent: 100, height_percent: 100 }

/** The part of a picture that is shown, in its own pixels. */
export function Cut({ picture, url, width, height }: Opened & { picture: Picture }) {
  const { crop = WHOLE, arrow } = picture
  const box = [
    (crop.left_percent * width) / 100,
    (crop.top_percent * height) / 100,
    (crop.width_percent * width) / 100,
    (crop.height_percent * height) / 100,
  ] as const
  return (
    <svg viewBox={box.join(' ')} role="img" aria-label={picture.says ?? t(words.picture)}>
      <image href={url} width={width} height={height} />
      {arrow && (
        <ArrowMark
          {...arrow}
          x={(arrow.x_percent * width) / 100}
          y={(arrow.y_percent * height) / 100}
          long={Math.min(box[2], box[3]) / 3}
        />
      )}
    </svg>
  )
}

/** Its tip at a place; dark under light, so that it stands out on whatever was photographed. */
function ArrowMark({ x, y, long, angle_deg }: Arrow & { x: number; y: number; long: number }) {
  const head = long / 3
  const line = `M0 0L${-long} 0M0 0L${-head} ${-head}M0 0L${-head} ${head}`
  return (
    <g transform={`translate(${x} ${y}) rotate(${-angle_deg})`} fill="none" stroke-linecap="round">
      <path d={line} stroke="#000" stroke-width={long / 6} />
      <path d={line} stroke="#fff" stroke-width={long / 12} />
    </g>
  )
}
