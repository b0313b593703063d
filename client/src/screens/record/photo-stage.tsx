/** One photo through a stage: drawn larger and smaller, moved about, by mouse, fingers and keys. */
import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks'
import { isLargerThanWhole, moved, scaledAt, whole, type Point, type Size, type View } from '../../work/zoom'
import { TextKey } from '../text-key'
import * as says from '../../words/en/record/photo-stage'
import { t } from '../../words/message'

const STEP = 1.5
const PAN_PX = 80

/** A pixel of the photo is a pixel of the screen. */
const fullScale = () => 1 / devicePixelRatio

interface Shown {
  photo: Size
  stage: Size
  view: View
}

/** The stage's size is asked for when it is needed: it changes with the window, and beside another photo. */
const sizeOf = ({ clientWidth: width, clientHeight: height }: HTMLElement): Size => ({ width, height })

function useView() {
  const stage = useRef<HTMLDivElement>(null)
  const [shown, show] = useState<Shown | null>(null)
  const change = (to: (now: Shown) => View) =>
    show((now) => {
      if (!now || !stage.current) return now
      const here = { ...now, stage: sizeOf(stage.current) }
      return { ...here, view: to(here) }
    })
  // biome-ignore lint/correctness/useExhaustiveDependencies: the stage is one element, and what is called asks for what is now
  useLayoutEffect(() => {
    const element = stage.current
    if (!element) return
    const observer = new ResizeObserver(() =>
      change(({ view, photo, stage: now }) =>
        scaledAt(view, view.scale, { x: now.width / 2, y: now.height / 2 }, photo, now),
      ),
    )
    observer.observe(element)
    return () => observer.disconnect()
  }, [])
  const opened = ({ naturalWidth: width, naturalHeight: height }: HTMLImageElement) => {
    if (!stage.current || width === 0) return
    const [photo, now] = [{ width, height }, sizeOf(stage.current)]
    show({ photo, stage: now, view: whole(photo, now) })
  }
  const scaleTo = (wished: (scale: number) => number, at?: Point) =>
    change(({ view, photo, stage: now }) =>
      scaledAt(view, wished(view.scale), at ?? { x: now.width / 2, y: now.height / 2 }, photo, now),
    )
  return {
    stage,
    shown,
    opened,
    scaleTo,
    seeWhole: () => change(({ photo, stage: now }) => whole(photo, now)),
    move: (by: Point) => change(({ view, photo, stage: now }) => moved(view, by, photo, now)),
  }
}

type Viewing = ReturnType<typeof useView>

/** Fingers and the mouse: one moves the photo, two draw it larger. */
function useFingers({ stage, scaleTo, move }: Viewing) {
  const down = useRef(new Map<number, Point>())
  const at = (event: PointerEvent | WheelEvent): Point => {
    const box = stage.current!.getBoundingClientRect()
    return { x: event.clientX - box.left, y: event.clientY - box.top }
  }
  const spread = ([one, two]: Point[]) => Math.hypot(one!.x - two!.x, one!.y - two!.y)
  const onMove = (event: PointerEvent) => {
    const last = down.current.get(event.pointerId)
    if (!last) return
    const now = at(event)
    const before = [...down.current.values()]
    down.current.set(event.pointerId, now)
    const after = [...down.current.values()]
    if (after.length === 1) return move({ x: now.x - last.x, y: now.y - last.y })
    if (after.length !== 2) return
    const by = spread(after) / Math.max(1, spread(before))
    scaleTo((scale) => scale * by, { x: (after[0]!.x + after[1]!.x) / 2, y: (after[0]!.y + after[1]!.y) / 2 })
  }
  const up = (event: PointerEvent) => void down.current.delete(event.pointerId)
  // Not by an attribute: the page must not scroll while the photo is drawn larger, and that has to be said beforehand.
  // biome-ignore lint/correctness/useExhaustiveDependencies: the stage is one element, and what is called asks for what is now
  useEffect(() => {
    const element = stage.current
    const onWheel = (event: WheelEvent) => {
      event.preventDefault()
      scaleTo((scale) => scale * 1.0015 ** -event.deltaY, at(event))
    }
    element?.addEventListener('wheel', onWheel, { passive: false })
    return () => element?.removeEventListener('wheel', onWheel)
  }, [])
  return {
    onPointerDown: (event: PointerEvent) => {
      if (event.button !== 0) return
      stage.current?.setPointerCapture(event.pointerId)
      down.current.set(event.pointerId, at(event))
    },
    onPointerMove: onMove,
    onPointerUp: up,
    onPointerCancel: up,
  }
}

const PANS: Record<string, Point> = {
  ArrowLeft: { x: PAN_PX, y: 0 },
  ArrowRight: { x: -PAN_PX, y: 0 },
  ArrowUp: { x: 0, y: PAN_PX },
  ArrowDown: { x: 0, y: -PAN_PX },
}

/** True where a key was the stage's. With Shift the arrows move the photo; without it they are the viewer's. */
function pressed({ scaleTo, seeWhole, move }: Viewing, event: KeyboardEvent): boolean {
  const by = event.shiftKey ? PANS[event.key] : undefined
  if (by) move(by)
  else if (event.key === '+' || event.key === '=') scaleTo((scale) => scale * STEP)
  else if (event.key === '-') scaleTo((scale) => scale / STEP)
  else if (event.key === '0') seeWhole()
  else if (event.key === '1') scaleTo(fullScale)
  else return false
  return true
}

export function PhotoStage({ url, label, isFirst }: { url: string; label: string; isFirst: boolean }) {
  const viewing = useView()
  const { stage, shown, opened, scaleTo, seeWhole } = viewing
  const fingers = useFingers(viewing)
  const { view, photo } = shown ?? {}
  const isLarger = shown !== null && isLargerThanWhole(shown.view, shown.photo, shown.stage)
  // biome-ignore lint/correctness/useExhaustiveDependencies: the stage is one element for as long as it stands
  useEffect(() => {
    if (isFirst) stage.current?.focus()
  }, [isFirst])
  return (
    <div class="photo-stage-frame">
      <div
        ref={stage}
        class={`photo-stage ${isLarger ? 'photo-stage-larger' : ''}`}
        tabIndex={0}
        role="group"
        aria-label={t(says.stage, { label })}
        onKeyDown={(event) => {
          if (pressed(viewing, event)) event.preventDefault()
        }}
        onDblClick={() => (isLarger ? seeWhole() : scaleTo(fullScale))}
        {...fingers}
      >
        <img
          src={url}
          alt={label}
          draggable={false}
          onLoad={(event) => opened(event.currentTarget)}
          style={
            view && photo
              ? {
                  width: `${photo.width}px`,
                  transform: `translate(${view.x}px, ${view.y}px) scale(${view.scale})`,
                }
              : { visibility: 'hidden' }
          }
        />
      </div>
      <p class="photo-scale d-small">
        <TextKey says={t(says.larger)} onPress={() => scaleTo((scale) => scale * STEP)} />
        <TextKey says={t(says.smaller)} onPress={() => scaleTo((scale) => scale / STEP)} />
        <TextKey says={t(says.fullSize)} onPress={() => scaleTo(fullScale)} />
        <TextKey says={t(says.whole)} onPress={seeWhole} />
        <span role="status">
          {view ? t(says.shownAt, { percent: Math.round(view.scale * devicePixelRatio * 100) }) : ''}
        </span>
      </p>
    </div>
  )
}
