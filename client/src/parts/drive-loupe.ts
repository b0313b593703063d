/**
 * The loupe: the tensioner's face as it must be at the end, its pointer in the notch. Round the eccentric an arrow says
 * which way the tensioner is turned to tighten the belt.
 */
import { LOUPE_WORD, loupeWord } from './drive-places'
import { type Shape, n1, rad, type Circle, type Sheet } from './drive-sheet'
import { tightens } from './drive-sides'

const FACE = 0.9 // of the loupe's radius; the others are parts of the face's
const [RIM, NOTCH_FLOOR, HUB, KEY, ARROW] = [0.78, 0.95, 0.36, 0.14, 0.57]
const NOTCH_DEG = 8
/** On either side of the notch, against which the eye sees how far off the pointer is: every third is a long one. */
const TICKS = Array.from({ length: 9 }, (_, i) => ({ deg: 14 + 5 * i, part: i % 3 === 0 ? 0.95 : 0.88 }))
const ARROW_DEG = { start: 165, end: 42 } // before the pointer: where the arrow begins, and where its head does

export function loupeShapes(sheet: Sheet, loupe: Circle): Shape[] {
  const { x, y, r } = loupe
  const [tx, ty] = sheet.middle(sheet.tensioner)
  const far = Math.hypot(x - tx, y - ty)
  const [ux, uy, edge] = [(x - tx) / far, (y - ty) / far, sheet.edge(sheet.tensioner)]
  const word = loupeWord({ x, y, r: r + 3 })
  return [
    {
      kind: 'path',
      d: `M${n1(tx + ux * edge)} ${n1(ty + uy * edge)}L${n1(x - ux * r)} ${n1(y - uy * r)}`,
      stroke: 'act',
      width: 3,
    },
    { kind: 'circle', cx: x, cy: y, r, fill: 'ground', stroke: 'act', width: 4.5 },
    ...faceShapes(sheet, { x, y, r: r * FACE }),
    {
      kind: 'text',
      x: word.x + word.w / 2,
      y: word.y + word.h / 2 + 6.6,
      size: 19,
      fill: 'act',
      halo: true,
      text: LOUPE_WORD,
    },
  ]
}

/** The face with its notch, the eccentric on its stud, the pointer, and the way to turn. */
function faceShapes(sheet: Sheet, face: Circle): Shape[] {
  const wheel = sheet.tensioner
  const eccentric = wheel.eccentric!
  const [notch, pointer] = [eccentric.notch_mdeg / 1000, eccentric.pointer_mdeg / 1000]
  const round = (part: number, fill: 'plate' | 'ground'): Shape => ({
    kind: 'circle',
    cx: face.x,
    cy: face.y,
    r: face.r * part,
    fill,
    stroke: 'ink',
    width: 1.8,
  })
  const line = (points: readonly (readonly [number, number])[]) =>
    `M${points.map(([deg, part]) => at(face, deg, part)).join('L')}`
  // The key stands off the middle as on the engine, to the scale of the face.
  const grown = face.r / (wheel.r_um - sheet.drive.belt.back_um)
  const stud = {
    x: face.x + grown * (eccentric.x_um - wheel.x_um),
    y: face.y - grown * (eccentric.y_um - wheel.y_um),
    r: face.r,
  }
  const key = Array.from({ length: 6 }, (_, corner) => at(stud, 60 * corner, KEY))
  const slot = line([
    [notch - NOTCH_DEG, RIM - 0.03],
    [notch - NOTCH_DEG, NOTCH_FLOOR],
    [notch + NOTCH_DEG, NOTCH_FLOOR],
    [notch + NOTCH_DEG, RIM - 0.03],
  ])
  const scale = TICKS.flatMap(({ deg, part }) => [deg, -deg].map((off) => [notch + off, part] as const))
    .map(([deg, part]) => `M${at(face, deg, RIM)}L${at(face, deg, part)}`)
    .join('')
  return [
    round(1, 'plate'),
    round(RIM, 'ground'),
    { kind: 'path', d: scale, stroke: 'ink', width: 1.4 },
    { kind: 'path', d: slot, fill: 'ground', stroke: 'ink', width: 1.8 },
    ...arrowShapes(face, pointer, tightens(sheet.drive) === 'anticlockwise' ? 1 : -1),
    {
      kind: 'path',
      d: `${line([
        [pointer - 16, 0.3],
        [pointer, 0.9],
        [pointer + 16, 0.3],
      ])}Z`,
      fill: 'ink',
    },
    round(HUB, 'plate'),
    { kind: 'path', d: `M${key.join('L')}Z`, fill: 'ink' },
  ]
}

/** An arrow that comes to the pointer; `turn` is 1 for anticlockwise. */
function arrowShapes(face: Circle, pointer: number, turn: 1 | -1): Shape[] {
  const [start, end] = [pointer - turn * ARROW_DEG.start, pointer - turn * ARROW_DEG.end]
  const r = n1(face.r * ARROW)
  return [
    {
      kind: 'path',
      d: `M${at(face, start, ARROW)}A${r} ${r} 0 0 ${turn < 0 ? 1 : 0} ${at(face, end, ARROW)}`,
      stroke: 'act',
      width: 3.6,
    },
    {
      kind: 'path',
      d: `M${at(face, end, ARROW - 0.15)}L${at(face, end, ARROW + 0.15)}L${at(face, end + turn * 22, ARROW)}Z`,
      fill: 'act',
    },
  ]
}

/** A point at an angle in degrees, at this part of the face's radius. */
function at({ x, y, r }: Circle, deg: number, part: number): string {
  const angle = rad(deg * 1000)
  return `${n1(x + r * part * Math.cos(angle))} ${n1(y - r * part * Math.sin(angle))}`
}
