/**
 * The drive: what the engine is like now, and where to look. A pure function of its props.
 * Each state has its own shape, for sun and for eyes that see no colour: a pin is a crossed disc with a stamped tag,
 * a drawn pin a dashed hole, the old belt a hollow line, a belt or wheel that is off is not there, the slack side of the
 * belt is thin. A ring is *look here*, a number the place in the fitting order.
 */
import type { DriveBlock } from '../procedure/bundle'
import { driveShapes } from './drive-shapes'
import type { Ink, Shape, Stroke, DriveState, DriveView } from './drive-sheet'
import { driveInWords } from './drive-words'

export { driveState, stepView } from './drive-words'

export interface DriveProps extends Omit<DriveView, 'width' | 'height'> {
  drive: DriveBlock
  state: DriveState
  width?: number
  height?: number
}

const colour = (ink: Ink | undefined) => (ink === undefined || ink === 'none' ? 'none' : `var(--${ink})`)

/** Lines grow in the sun; what is cut out of a shape must not, or it eats the shape. */
const strokeWidth = ({ stroke, width = 0 }: Stroke) =>
  stroke === 'ground' ? `${width.toFixed(2)}px` : `calc(${width.toFixed(2)}px * var(--draw, 1))`

function Drawn({ shape }: { shape: Shape }) {
  if (shape.kind === 'text') {
    const [weight, halo] = shape.halo
      ? [640, { stroke: 'var(--ground)', 'stroke-width': 3, 'paint-order': 'stroke' }]
      : [720, {}]
    const style = { fill: colour(shape.fill), fontStretch: '80%', letterSpacing: shape.halo ? '.04em' : '0' }
    return (
      <text
        x={shape.x}
        y={shape.y}
        font-size={shape.size}
        font-weight={weight}
        text-anchor="middle"
        style={style}
        {...halo}
      >
        {shape.text}
      </text>
    )
  }
  const drawn = {
    fill: colour(shape.fill),
    stroke: colour(shape.stroke),
    ...(shape.width === undefined ? {} : { style: { strokeWidth: strokeWidth(shape) } }),
    ...(shape.dash === undefined ? {} : { 'stroke-dasharray': shape.dash }),
    ...(shape.length === undefined ? {} : { pathLength: shape.length }),
    'stroke-linejoin': 'round' as const,
  }
  if (shape.kind === 'circle') return <circle cx={shape.cx} cy={shape.cy} r={shape.r} {...drawn} />
  if (shape.kind === 'rect')
    return <rect x={shape.x} y={shape.y} width={shape.w} height={shape.h} rx={shape.rx} {...drawn} />
  return <path d={shape.d} {...drawn} />
}

export function Drive({ drive, state, width = 232, height = 332, ...wishes }: DriveProps) {
  const view = { ...wishes, width, height }
  const words = driveInWords(drive, state, view)
  return (
    <svg
      class="drive"
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={words}
    >
      <title>{words}</title>
      {driveShapes(drive, state, view).map((shape) => (
        <Drawn shape={shape} />
      ))}
    </svg>
  )
}
