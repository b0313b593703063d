/** A pad to sign on with a finger: strokes become an SVG path, whole numbers only, short enough for a private value. */
import { useRef } from 'preact/hooks'
import * as words from '../words/en/parts/signature'
import { t } from '../words/message'

/** A private value's text holds at most 2,000 characters and the blob 4 KiB: a longer path is thinned. */
const LONGEST = 1_900

export type Stroke = readonly (readonly [number, number])[]

/** Path of the strokes. Every second inner point is dropped until it is short enough: shape stays, size falls. */
export function pathOf(strokes: readonly Stroke[]): string {
  const draw = (lists: readonly Stroke[]) =>
    lists
      .map((stroke) =>
        stroke.map(([x, y], i) => `${i ? 'L' : 'M'}${Math.round(x)} ${Math.round(y)}`).join(''),
      )
      .join('')
  const thin = (stroke: Stroke): Stroke => stroke.filter((_, i) => i % 2 === 0 || i === stroke.length - 1)
  let lists = strokes.filter((stroke) => stroke.length > 1)
  let path = draw(lists)
  while (path.length > LONGEST && lists.some((stroke) => stroke.length > 2)) {
    lists = lists.map(thin)
    path = draw(lists)
  }
  return path.slice(0, LONGEST)
}

export function SignaturePad({
  label,
  path,
  onPath,
}: {
  label: string
  path: string
  onPath: (path: string) => void
}) {
  const strokes = useRef<[number, number][][]>([])
  const drawing = useRef(false)
  if (path === '' && !drawing.current) strokes.current = []
  const point = (event: PointerEvent): [number, number] => {
    const box = (event.currentTarget as SVGElement).getBoundingClientRect()
    return [((event.clientX - box.left) / box.width) * 332, ((event.clientY - box.top) / box.height) * 200]
  }
  const add = (event: PointerEvent) => {
    strokes.current.at(-1)?.push(point(event))
    onPath(pathOf(strokes.current))
  }
  return (
    <svg
      class="signature"
      viewBox="0 0 332 200"
      role="img"
      aria-label={`${label}. ${path === '' ? t(words.empty) : t(words.signed)}`}
      onPointerDown={(event) => {
        if (!event.isPrimary) return
        event.currentTarget.setPointerCapture(event.pointerId)
        drawing.current = true
        strokes.current.push([])
        add(event)
      }}
      onPointerMove={(event) => drawing.current && event.isPrimary && add(event)}
      onPointerUp={() => (drawing.current = false)}
      onPointerCancel={() => (drawing.current = false)}
    >
      <rect width="332" height="200" fill="var(--plate)" />
      <path d="M16 160H316" stroke="var(--line)" stroke-width="1.3" />
      <path
        d={path}
        fill="none"
        stroke="var(--ink)"
        stroke-width="3.4"
        stroke-linecap="round"
        stroke-linejoin="round"
      />
    </svg>
  )
}
