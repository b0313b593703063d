/**
 * A photo to be tapped. The whole of it takes a tap; closer, the photo is moved under a cross that stands still, so
 * that no finger covers what it points at. What was tapped is drawn on it, each thing by a shape of its own.
 */
import type { RefObject, TargetedPointerEvent } from 'preact'
import { useLayoutEffect, useRef, useState } from 'preact/hooks'
import { loupe, onPhoto, type TapName, type View } from '../../../instruments/marks-sheet'
import type { Point } from '../../../instruments/marks'
import * as words from '../../../words/en/bay/proofs/tapboard'
import { t } from '../../../words/message'

export type Places = Partial<Record<TapName, Point>>
export interface PhotoShown {
  url: string
  width: number
  height: number
}

type Size = { width: number; height: number }

/** The size of an element, kept up to date. */
function useSize(box: RefObject<HTMLElement | null>): Size | null {
  const [size, setSize] = useState<Size | null>(null)
  useLayoutEffect(() => {
    const look = () =>
      box.current && setSize({ width: box.current.clientWidth, height: box.current.clientHeight })
    look()
    const watch = new ResizeObserver(look)
    if (box.current) watch.observe(box.current)
    return () => watch.disconnect()
  }, [box])
  return size
}

const SHAPES: Record<TapName, string> = {
  hub: 'M-11 0a11 11 0 1 0 22 0a11 11 0 1 0-22 0M0 0v.01',
  tip_a: 'M-9 16 0 2 9 16Z',
  tip_b: 'M-9 16 0 2 9 16Z',
  mark: 'M0-13 13 0 0 13-13 0ZM0 0v.01',
  pointer: 'M-16 0H-5M5 0H16M0-16V-5M0 5V16',
  far_a: 'M-9 16 0 2 9 16Z',
  far_b: 'M-9 16 0 2 9 16Z',
}

/** White on black: it is seen on every photo and in every light. */
function Ink({ d, at }: { d: string; at: readonly [number, number] }) {
  return (
    <g
      transform={`translate(${at[0].toFixed(1)} ${at[1].toFixed(1)})`}
      fill="none"
      stroke-linecap="round"
      stroke-linejoin="round"
    >
      <path d={d} stroke="#000" stroke-width="6" />
      <path d={d} stroke="#fff" stroke-width="2.6" />
    </g>
  )
}

/** Lines from the hub through mark and pointer: whole for the mark, broken for the pointer. */
function Spokes({
  hub,
  mark,
  pointer,
}: {
  hub: readonly [number, number]
  mark: readonly [number, number]
  pointer: readonly [number, number]
}) {
  const line = (to: readonly [number, number]) => `M${hub[0]} ${hub[1]}L${to[0]} ${to[1]}`
  return (
    <g fill="none">
      <path d={`${line(mark)}${line(pointer)}`} stroke="#000" stroke-width="4" />
      <path d={line(mark)} stroke="#fff" stroke-width="1.8" />
      <path d={line(pointer)} stroke="#fff" stroke-width="1.8" stroke-dasharray="7 6" />
    </g>
  )
}

function Drawn({ places, view, spokes }: { places: Places; view: View; spokes: boolean }) {
  const onScreen = ([x, y]: Point) =>
    [view.left + (view.zoom * x) / 100, view.top + (view.zoom * y) / 100] as const
  const { hub, mark, pointer } = places
  return (
    <svg class="taps" aria-hidden="true">
      {spokes && hub && mark && pointer && (
        <Spokes hub={onScreen(hub)} mark={onScreen(mark)} pointer={onScreen(pointer)} />
      )}
      {(Object.entries(places) as [TapName, Point][]).map(([name, at]) => (
        <Ink d={SHAPES[name]} at={onScreen(at)} />
      ))}
    </svg>
  )
}

const Photo = ({ photo, view }: { photo: PhotoShown; view: View }) => (
  <img
    src={photo.url}
    alt=""
    draggable={false}
    style={{
      width: `${photo.width * view.zoom}px`,
      height: `${photo.height * view.zoom}px`,
      transform: `translate(${view.left}px, ${view.top}px)`,
    }}
  />
)

/** The whole photo, as large as it fits. */
function wholeView({ width, height }: PhotoShown, size: Size): View {
  const zoom = Math.min(size.width / width, size.height / height)
  return { left: (size.width - width * zoom) / 2, top: (size.height - height * zoom) / 2, zoom }
}

/** Where in the element a finger is. */
function within(event: TargetedPointerEvent<HTMLElement>): [number, number] {
  const box = event.currentTarget.getBoundingClientRect()
  return [event.clientX - box.left, event.clientY - box.top]
}

export function WholePhoto({
  photo,
  places,
  label,
  onTap,
}: {
  photo: PhotoShown
  places: Places
  label: string
  onTap: (at: Point) => void
}) {
  const box = useRef<HTMLDivElement>(null)
  const size = useSize(box)
  const view = size && wholeView(photo, size)
  const tap = (event: TargetedPointerEvent<HTMLElement>) => {
    const at = view && onPhoto(view, ...within(event))
    if (at && isOn(photo, at)) onTap(at)
  }
  return (
    <div class="finder tapboard" ref={box} role="group" aria-label={label} onPointerUp={tap}>
      {view && <Photo photo={photo} view={view} />}
      {view && <Drawn places={places} view={view} spokes={false} />}
    </div>
  )
}

const isOn = ({ width, height }: PhotoShown, [x, y]: Point) =>
  x >= 0 && y >= 0 && x <= 100 * width && y <= 100 * height

/** Nearer than this a finger that comes down and goes up has not moved. */
const STILL_PX = 8
const NUDGES: Record<string, readonly [number, number]> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
}
const CROSS = 'M-46 0H-7M7 0H46M0-46V-7M0 7V46M0 0v.01'

interface LoupeProps {
  photo: PhotoShown
  places: Places
  label: string
  zoom: number
  centre: Point
  move: (centre: Point) => void
}

export function Loupe({ photo, places, label, zoom, centre, move }: LoupeProps) {
  const box = useRef<HTMLDivElement>(null)
  const size = useSize(box)
  const held = useRef<{ from: readonly [number, number]; centre: Point; moved: boolean } | null>(null)
  const view = size && loupe(centre, zoom, size)
  const moveTo = ([x, y]: Point) => move([clamp(x, 100 * photo.width), clamp(y, 100 * photo.height)])
  const by = (from: Point, dx: number, dy: number) =>
    moveTo([Math.round(from[0] + (100 * dx) / zoom), Math.round(from[1] + (100 * dy) / zoom)])
  const drag = (event: TargetedPointerEvent<HTMLElement>) => {
    const { current } = held
    if (!current) return
    const [x, y] = within(event)
    const [dx, dy] = [x - current.from[0], y - current.from[1]]
    current.moved ||= Math.hypot(dx, dy) > STILL_PX
    if (current.moved) by(current.centre, -dx, -dy)
  }
  const letGo = (event: TargetedPointerEvent<HTMLElement>) => {
    if (held.current && !held.current.moved && view) moveTo(onPhoto(view, ...within(event)))
    held.current = null
  }
  return (
    <div
      class="finder tapboard"
      ref={box}
      role="group"
      tabIndex={0}
      aria-label={label}
      onPointerDown={(event) => {
        if (!event.isPrimary) return
        event.currentTarget.setPointerCapture(event.pointerId)
        held.current = { from: within(event), centre, moved: false }
      }}
      onPointerMove={drag}
      onPointerUp={letGo}
      onPointerCancel={() => (held.current = null)}
      onKeyDown={(event) => {
        const nudge = NUDGES[event.key]
        if (!nudge) return
        event.preventDefault()
        by(centre, nudge[0], nudge[1])
      }}
    >
      {view && <Photo photo={photo} view={view} />}
      {view && size && (
        <>
          <Drawn places={places} view={view} spokes={false} />
          <svg class="taps" aria-hidden="true">
            <Ink d={CROSS} at={[size.width / 2, size.height / 2]} />
          </svg>
        </>
      )}
    </div>
  )
}

const clamp = (x: number, most: number) => Math.min(most, Math.max(0, x))

/** What was tapped, seen once more: the part of the photo round tips, mark and pointer. */
export function TappedPhoto({ photo, places }: { photo: PhotoShown; places: Places }) {
  const box = useRef<HTMLDivElement>(null)
  const size = useSize(box)
  const view = size && partView(photo, places, size)
  return (
    <div class="finder tapboard tapboard-low" ref={box} role="img" aria-label={t(words.pictureLabel)}>
      {view && <Photo photo={photo} view={view} />}
      {view && <Drawn places={places} view={view} spokes />}
    </div>
  )
}

function partView(photo: PhotoShown, { tip_a, tip_b, mark, pointer }: Places, size: Size): View {
  const seen = [tip_a, tip_b, mark, pointer].filter((at) => at !== undefined)
  if (seen.length === 0) return wholeView(photo, size)
  const [xs, ys] = [seen.map(([x]) => x), seen.map(([, y]) => y)]
  const [left, right, top, bottom] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)]
  const zoom = Math.min(
    (70 * size.width) / Math.max(1, right - left),
    (60 * size.height) / Math.max(1, bottom - top),
  )
  return loupe([(left + right) / 2, (top + bottom) / 2], zoom, size)
}
