/**
 * Torque and angle as the hand sees them: the wrench's barrel at its setting, and two paint marks
 * on head and seat that stand the angle apart and meet when it is reached.
 */

const PER_NM = 8.6
const EDGE = 196
const LINE = 33
const THIMBLE_PITCH = 12.5

const decimals = (nm: string) => nm.split('.')[1]?.length ?? 0

/** Main scale: labels at tens, ticks at twos, as far as the sleeve shows them left of the thimble. */
function Sleeve({ value }: { value: number }) {
  const first = Math.max(0, Math.ceil((value - EDGE / PER_NM + 2) / 2) * 2)
  const marks = Array.from({ length: Math.floor((value - first) / 2) + 1 }, (_, i) => first + 2 * i)
  return (
    <>
      {marks.map((nm) => {
        const x = EDGE - (value - nm) * PER_NM
        const ten = nm % 10 === 0
        return (
          <>
            <path d={`M${x} ${ten ? 13 : 23}V${LINE}`} stroke="var(--ink)" stroke-width={ten ? 2.6 : 1.5} />
            {ten && x > 16 && x < EDGE - 8 && (
              <text x={x} y="57" font-size="21" font-weight="680" text-anchor="middle">
                {nm}
              </text>
            )}
          </>
        )
      })}
    </>
  )
}

/** The thimble's own ring: the figure on the line is the last digit of the setting. */
function Thimble({ nm }: { nm: string }) {
  const value = Number(nm)
  const places = decimals(nm)
  const step = 10 ** -places
  const figure = (i: number) => (((value + i * step) % 10) + 10) % 10
  return (
    <>
      <path d="M196 -9H206L222 -14H346V80H222L206 75H196Z" fill="var(--deck)" />
      {[-3, -2, -1, 0, 1, 2, 3].map((i) => {
        const y = LINE + i * THIMBLE_PITCH
        return i === 0 ? (
          <path d={`M196 ${y}h24`} stroke="var(--ondeck)" stroke-width="5" />
        ) : (
          <path d={`M196 ${y}h16`} stroke="var(--ondeck2)" stroke-width="1.8" />
        )
      })}
      {[-2, 0, 2].map((i) => (
        <text
          x="228"
          y={LINE + i * THIMBLE_PITCH + 7}
          font-size="20"
          font-weight="700"
          style={{ fill: 'var(--ondeck)' }}
        >
          {figure(i).toFixed(places)}
        </text>
      ))}
      {Array.from({ length: places ? 7 : 9 }, (_, i) => (
        <path d={`M${(places ? 278 : 258) + 10 * i} -6V72`} stroke="var(--ondeck2)" stroke-width="1.3" />
      ))}
    </>
  )
}

export function Barrel({ nm }: { nm: string }) {
  const value = Number(nm)
  return (
    <svg class="barrel" viewBox="0 -14 346 94" aria-hidden="true">
      <rect width={EDGE} height="66" fill="var(--plate)" />
      <path d={`M0 0H${EDGE}M0 66H${EDGE}M0 ${LINE}H${EDGE}`} stroke="var(--ink)" stroke-width="2.4" />
      <Sleeve value={value} />
      <Thimble nm={nm} />
      <rect x="166" y="30" width="30" height="6" fill="var(--act)" />
      <path d="M150 22 166 33 150 44Z" fill="var(--act)" />
    </svg>
  )
}

function polar(angle: number, radius: number): string {
  const a = ((angle - 90) * Math.PI) / 180
  return `${(radius * Math.cos(a)).toFixed(1)} ${(radius * Math.sin(a)).toFixed(1)}`
}

/** Beyond, the mark comes round again: the ring is whole, and the figure beside it counts the turns. */
const MOST_OF_ONE_TURN = 340

/** What stands round the seat: from where to where there are ticks, and which of them have figures. */
function ringOf(angle: number): { from: number; to: number; labels: number[] } {
  if (angle > MOST_OF_ONE_TURN) return { from: 0, to: 358, labels: [0, 90, 180, 270] }
  const step = angle > 60 ? 30 : 20
  const labels = Array.from({ length: Math.floor(angle / step) + 1 }, (_, i) => i * step).filter(
    (a) => a < angle - step / 2 || a === angle,
  )
  return {
    from: -20,
    to: Math.min(angle + 20, MOST_OF_ONE_TURN),
    labels: labels.includes(angle) ? labels : [...labels, angle],
  }
}

/** @param turned how far the head has come, degrees: its mark meets the seat's at `deg` */
export function HeadAndSeat({ deg, turned = 0 }: { deg: string; turned?: number }) {
  const angle = Number(deg)
  const { from, to, labels } = ringOf(angle)
  const ticks = Array.from({ length: Math.round((to - from) / 2) + 1 }, (_, i) => from + 2 * i)
  return (
    <svg class="head-seat" viewBox={`-104 -100 208 ${angle > 120 ? 200 : 172}`} aria-hidden="true">
      <circle r="58" fill="var(--seat)" stroke="var(--rim)" stroke-width="1.3" />
      {ticks.map((a) => (
        <path
          d={`M${polar(a, 62)}L${polar(a, a % 10 === 0 ? 74 : 67)}`}
          stroke="var(--ink)"
          stroke-width={a % 10 === 0 ? 2.4 : 1.4}
        />
      ))}
      {labels.map((a) => {
        const [x, y] = polar(a, 88).split(' ')
        return (
          <text x={x} y={Number(y) + 6} font-size="19" font-weight="680" text-anchor="middle">
            {a}
          </text>
        )
      })}
      <g transform={`rotate(${turned})`}>
        <polygon
          points="38.8,6.8 13.5,37.1 -25.4,30.2 -38.8,-6.8 -13.5,-37.1 25.4,-30.2"
          fill="var(--seat)"
          stroke="var(--joint)"
          stroke-width="3"
        />
        <rect x="-4.5" y="-33.1" width="9" height="33.1" rx="1" fill="var(--paint)" />
      </g>
      <rect x="-4.5" y="-55" width="9" height="15.7" fill="var(--paint)" transform={`rotate(${angle})`} />
      {angle <= MOST_OF_ONE_TURN && turned < angle - 17 && (
        <path
          d={`M${polar(turned + 8, 46)}A46 46 0 ${angle - turned > 190 ? 1 : 0} 1 ${polar(Math.max(angle - 8, turned + 9), 46)}`}
          fill="none"
          stroke="var(--joint)"
          stroke-width="3"
          stroke-dasharray="4 4"
        />
      )}
    </svg>
  )
}
