/** The scale that a figure read off a gauge is moved on, instead of typed. Pure. `prove/weight.py` counts it as this has it. */
import { hasSign } from './limits'

interface Limits {
  kind: string
  low?: string
  high?: string
  target?: string
  unit?: string
}

/** In units of the last place that the procedure writes: `at` of them is `figureAt(dial, at)`. */
export interface Dial {
  from: number
  to: number
  places: number
}

/** Chosen: 332 px of scale, of which a finger that slides tells 3 px apart. A longer one is typed. */
const MOST_MARKS = 110
/** Chosen: this much of the window's width stands free on either side, so that a figure outside has its place. */
const AIR = 0.6

const placesOf = (figure = '') => figure.split('.')[1]?.length ?? 0

function range({ low, high, target }: Limits): [from: number, to: number] | null {
  const l = low === undefined ? null : Number(low)
  const h = high === undefined ? null : Number(high)
  if (l === null && h === null) return null
  if (l !== null && h !== null) return l === h ? null : [l - AIR * (h - l), h + AIR * (h - l)]
  const edge = (l ?? h) as number
  const reach = Math.max(
    Math.abs((target === undefined ? edge : Number(target)) - edge),
    Math.abs(edge) / 2,
    1,
  )
  return l === null ? [edge - 2 * reach, edge + reach] : [edge - reach, edge + 2 * reach]
}

/** Null where it is counted, has no window, one figure for a window, or too many marks for a finger. */
export function dialOf(proof: Limits): Dial | null {
  const found = proof.kind === 'reading' ? range(proof) : null
  if (found === null) return null
  const places = Math.max(...[proof.low, proof.high, proof.target].map(placesOf))
  const from = Math.floor(found[0] * 10 ** places + 1e-6)
  const to = Math.ceil(found[1] * 10 ** places - 1e-6)
  const least = hasSign(proof) ? from : Math.max(0, from)
  return to - least > MOST_MARKS ? null : { from: least, to, places }
}

/** As the contract writes a decimal: never '-0'. */
export const figureAt = ({ places }: Dial, at: number): string => (at / 10 ** places).toFixed(places)
