/**
 * A photo looked at through a stage: how large it is shown and where it lies. Pure. A view's `scale` is stage pixels a
 * pixel of the photo; `x`, `y` is the photo's upper left corner, in stage pixels from the stage's own.
 */
export interface Size {
  width: number
  height: number
}
export interface Point {
  x: number
  y: number
}
export interface View extends Point {
  scale: number
}

/** Beyond this a pixel of the photo is a block, and nothing more is seen. */
const MOST_BLOCK_PX = 8

/** The scale at which all of the photo is seen; none is blown up for that. */
const wholeScale = (photo: Size, stage: Size): number =>
  Math.min(1, stage.width / photo.width, stage.height / photo.height)

/** All of the photo, in the middle. */
export const whole = (photo: Size, stage: Size): View =>
  placed({ scale: wholeScale(photo, stage), x: 0, y: 0 }, photo, stage)

/** Larger or smaller, and what lies under the point stays there: no smaller than whole. */
export function scaledAt(view: View, wished: number, at: Point, photo: Size, stage: Size): View {
  const least = wholeScale(photo, stage)
  const scale = Math.min(Math.max(wished, least), Math.max(least, MOST_BLOCK_PX))
  const by = scale / view.scale
  return placed({ scale, x: at.x - (at.x - view.x) * by, y: at.y - (at.y - view.y) * by }, photo, stage)
}

export const moved = (view: View, by: Point, photo: Size, stage: Size): View =>
  placed({ ...view, x: view.x + by.x, y: view.y + by.y }, photo, stage)

/** A photo larger than the stage covers it, a smaller one lies in its middle: none can be lost from sight. */
function placed(view: View, photo: Size, stage: Size): View {
  const along = (at: number, length: number, room: number): number =>
    length <= room ? (room - length) / 2 : Math.min(0, Math.max(room - length, at))
  return {
    scale: view.scale,
    x: along(view.x, photo.width * view.scale, stage.width),
    y: along(view.y, photo.height * view.scale, stage.height),
  }
}

/** Whether more of it could be seen than is. */
export const isLargerThanWhole = (view: View, photo: Size, stage: Size): boolean =>
  view.scale > wholeScale(photo, stage) * 1.001
