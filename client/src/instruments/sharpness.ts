/**
 * How sharp and how bright is a photo? Three figures; what to say of them is `shot-advice.ts`.
 *
 * Sharpness is the 99.5th percentile of |Laplacian| after a Gaussian of 0.7 pixels, on a gray copy whose long side is
 * 512: stable where the variance of the Laplacian takes a dark photo's noise for detail. The copy comes from an average
 * over exact areas in whole numbers, never from the browser's own scaling, which differs by a factor of 1.5 from one
 * browser to the next. Nothing is rounded before the last step but the gray copy, so browser and server agree to the
 * digit on the same pixels, whichever way up. The twin is `server/twoturns/instruments/sharpness.py`; it has the figures.
 */
import { rounded } from './refusal'

const LONG_SIDE = 512
const BLOWN_FROM = 250
const LEAST_SIDE = 16
const LONGEST_SIDE = 256 * LONG_SIDE
/** Gray in sixteenths: 8 bits would add the noise of their own rounding. */
const STEPS = 16
/** By definition, luma of Rec. ITU-R BT.601 in 256ths: 0.299, 0.587, 0.114. */
const [RED, GREEN, BLUE] = [77, 150, 29]
/** By definition, a Gaussian of sigma 0.7 in 1024ths: exp(-k²/0.98) for k = 0, 1, 2, normalised. */
const [MIDDLE, NEXT, OUTER] = [584, 210, 10]
/** By definition: the sum of it, two of each but the middle. */
const KERNEL_SUM = 1024

/** As `photo.taken` records it. */
export interface Quality {
  sharp_tenths: number
  /** Mean gray, 0 to 255. */
  mean: number
  /** Share of the picture that is white: gray 250 and up. */
  blown_permille: number
}

/** Where the boxes of one side begin: `at` whole pixels and `part` shares of 1/boxes of the next one. */
interface Side {
  pixels: number
  boxes: number
  at: Int32Array
  part: Int32Array
}

function side(pixels: number, boxes: number): Side {
  const at = Int32Array.from({ length: boxes + 1 }, (_, i) => Math.floor((i * pixels) / boxes))
  const part = Int32Array.from({ length: boxes + 1 }, (_, i) => (i * pixels) % boxes)
  return { pixels, boxes, at, part }
}

/**
 * One row's boxes: `boxes` times each whole pixel in them, and the parts at their edges. Red and blue are added up side
 * by side in one number (little-endian, as every phone is): a box has less than 257 pixels of a row, so neither spills.
 */
function average(pixels: Uint32Array, start: number, { boxes, at, part }: Side, row: Float64Array): void {
  let before = 0
  let i = start
  for (let box = 0; box < boxes; box += 1) {
    const end = start + at[box + 1]!
    let redBlue = 0
    let green = 0
    for (; i < end; i += 1) {
      const pixel = pixels[i]!
      redBlue += pixel & 0xff00ff
      green += (pixel >> 8) & 0xff
    }
    const whole = RED * (redBlue & 0xffff) + GREEN * green + BLUE * (redBlue >>> 16)
    const cut = part[box + 1]!
    const after = cut === 0 ? 0 : cut * grayOf(pixels[end]!)
    row[box] = boxes * whole - before + after
    before = after
  }
}

const grayOf = (pixel: number) =>
  RED * (pixel & 0xff) + GREEN * ((pixel >> 8) & 0xff) + BLUE * ((pixel >> 16) & 0xff)

function weigh(sums: Float64Array, box: number, row: Float64Array, weight: number): void {
  const from = box * row.length
  for (let i = 0; i < row.length; i += 1) sums[from + i]! += weight * row[i]!
}

/** Takes a picture's rows from the top, a strip at a time, so that a phone never holds it twice. */
export class Gauge {
  readonly #across: Side
  readonly #down: Side
  readonly #sums: Float64Array
  readonly #row: Float64Array
  #y = 0
  #box = 0

  private constructor(width: number, height: number) {
    const long = Math.max(width, height)
    const boxes = (pixels: number) =>
      long <= LONG_SIDE ? pixels : Math.max(1, rounded((pixels * LONG_SIDE) / long))
    this.#across = side(width, boxes(width))
    this.#down = side(height, boxes(height))
    this.#sums = new Float64Array(this.#across.boxes * this.#down.boxes)
    this.#row = new Float64Array(this.#across.boxes)
  }

  /** Null where a picture is too small, too narrow or too long to be judged. A picture below 512 pixels is judged at its own size. */
  static of(width: number, height: number): Gauge | null {
    const narrow = Math.min(width, height) * Math.min(1, LONG_SIDE / Math.max(width, height))
    return narrow >= LEAST_SIDE && Math.max(width, height) <= LONGEST_SIDE ? new Gauge(width, height) : null
  }

  /** @param rgba whole rows, four bytes a pixel; the rows that follow those added before */
  add(rgba: Uint8ClampedArray): void {
    const pixels = new Uint32Array(rgba.buffer, rgba.byteOffset, rgba.byteLength / 4)
    for (let start = 0; start < pixels.length; start += this.#across.pixels, this.#y += 1) {
      average(pixels, start, this.#across, this.#row)
      this.#spread()
    }
  }

  /** The row belongs to one box downward, or to two. */
  #spread(): void {
    const { boxes, at, part } = this.#down
    const next = this.#box + 1
    const splits = this.#y === at[next]! // its first part ends this box
    if (splits) weigh(this.#sums, this.#box, this.#row, part[next]!)
    if (splits) this.#box = next
    if (this.#box < boxes) weigh(this.#sums, this.#box, this.#row, splits ? boxes - part[next]! : boxes)
  }

  /** The figures, when every row is in. */
  quality(): Quality {
    const { boxes: width, pixels: across } = this.#across
    const { boxes: height, pixels: down } = this.#down
    if (this.#y !== down) throw new RangeError(`the picture has ${down} rows, ${this.#y} came`)
    const unit = 256 * across * down // what a gray of 1 weighs
    const gray = this.#sums.map((sum) => Math.floor((2 * STEPS * sum + unit) / (2 * unit)))
    let [total, blown] = [0, 0]
    for (const value of gray) {
      total += value
      if (value >= BLOWN_FROM * STEPS) blown += 1
    }
    return {
      sharp_tenths: percentile(edges(smooth(gray, width, height), width - 4, height - 4)),
      mean: rounded(total / (STEPS * gray.length)),
      blown_permille: rounded((1000 * blown) / gray.length),
    }
  }
}

/** The Gaussian across and down, where all of it lies inside: two pixels less at each edge. Whole numbers, 1024² too large. */
function smooth(gray: Float64Array, width: number, height: number): Float64Array {
  const narrow = width - 4
  const across = new Float64Array(narrow * height)
  for (let y = 0; y < height; y += 1) {
    for (let x = 0; x < narrow; x += 1) across[y * narrow + x] = weighed(gray, y * width + x, 1)
  }
  const both = new Float64Array(narrow * (height - 4))
  for (let i = 0; i < both.length; i += 1) both[i] = weighed(across, i, narrow)
  return both
}

const weighed = (from: Float64Array, i: number, step: number) =>
  OUTER * (from[i]! + from[i + 4 * step]!) +
  NEXT * (from[i + step]! + from[i + 3 * step]!) +
  MIDDLE * from[i + 2 * step]!

/** |Laplacian| in tenths of a gray, inside the edge; four neighbours. */
function edges(smoothed: Float64Array, width: number, height: number): Int32Array {
  const unit = STEPS * KERNEL_SUM * KERNEL_SUM
  const tenths = new Int32Array((width - 2) * (height - 2))
  for (let y = 1, to = 0; y < height - 1; y += 1) {
    for (let x = 1; x < width - 1; x += 1, to += 1) {
      const i = y * width + x
      const four = smoothed[i - 1]! + smoothed[i + 1]! + smoothed[i - width]! + smoothed[i + width]!
      tenths[to] = Math.floor((20 * Math.abs(4 * smoothed[i]! - four) + unit) / (2 * unit))
    }
  }
  return tenths
}

/** The 99.5th percentile by nearest rank. No figure is above 8 times 255. */
function percentile(tenths: Int32Array): number {
  const counts = new Uint32Array(20_401)
  for (const value of tenths) counts[value]! += 1
  let above = tenths.length - Math.ceil((995 * tenths.length) / 1000) // how many may be larger
  let value = counts.length - 1
  for (; counts[value]! <= above; value -= 1) above -= counts[value]!
  return value
}
