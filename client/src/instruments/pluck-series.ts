/**
 * How much of a piece of sound the best mix of some damped modes explains: linear least squares.
 *
 * Columns are the real and imaginary parts of powers of exp(-decay + i turn), weighed by 1 over the first half of
 * the window and by a raised cosine over the second. Their products are geometric series and have closed forms.
 */

/** Of each mode: what it loses, and how far it turns (radians), from sample to sample. */
export interface Modes {
  decay: number[]
  turn: number[]
}

/** `half` the window's half length in samples, `weighed` its samples times the weights, `energy` the weighed energy. */
export interface Window {
  half: number
  weighed: Float64Array
  energy: number
}

/** Added to the diagonal, as a share of it: two modes may be nearly the same. */
const RIDGE = 1e-5

export function explained({ half, weighed, energy }: Window, { decay, turn }: Modes): number {
  if (energy <= 0) return 0
  const right = rightSide(weighed, decay, turn)
  const solved = solveSymmetric(gram(half, decay, turn), right)
  let sum = 0
  for (let i = 0; i < right.length; i++) sum += right[i]! * solved[i]!
  return sum / energy
}

/** The products of the samples with the cosine columns, then with the sine columns: Horner's rule from the end. */
function rightSide(weighed: Float64Array, decay: number[], turn: number[]): Float64Array {
  const count = turn.length
  const right = new Float64Array(2 * count)
  for (let n = 0; n < count; n++) {
    const size = Math.exp(-decay[n]!)
    const cos = size * Math.cos(turn[n]!)
    const sin = size * Math.sin(turn[n]!)
    let re = 0
    let im = 0
    for (let i = weighed.length - 1; i >= 0; i--) {
      const turned = re * cos - im * sin + weighed[i]!
      im = re * sin + im * cos
      re = turned
    }
    right[n] = re
    right[count + n] = im
  }
  return right
}

function gram(half: number, decay: number[], turn: number[]): Float64Array[] {
  const count = turn.length
  const rows = Array.from({ length: 2 * count }, () => new Float64Array(2 * count))
  for (let m = 0; m < count; m++) {
    for (let n = 0; n < count; n++) {
      if (n < m) continue
      const loss = decay[m]! + decay[n]!
      const [plusRe, plusIm] = series(half, loss, turn[m]! + turn[n]!)
      const [minusRe, minusIm] = series(half, loss, turn[m]! - turn[n]!)
      rows[m]![n] = rows[n]![m] = (plusRe + minusRe) / 2
      rows[count + m]![count + n] = rows[count + n]![count + m] = (minusRe - plusRe) / 2
      rows[m]![count + n] = rows[count + n]![m] = (plusIm - minusIm) / 2
      rows[n]![count + m] = rows[count + m]![n] = (plusIm + minusIm) / 2
    }
  }
  for (let i = 0; i < rows.length; i++) rows[i]![i]! *= 1 + RIDGE
  return rows
}

/** The sum of the window's weights times the powers of exp(-loss + i turn), as [re, im]. */
function series(half: number, loss: number, turn: number): [number, number] {
  const size = Math.exp(-loss)
  const endSize = Math.exp(-loss * half)
  const endRe = endSize * Math.cos(half * turn)
  const endIm = endSize * Math.sin(half * turn)
  const [evenRe, evenIm] = divided(1 - endRe, -endIm, size, turn)
  // The raised cosine is one half and two quarters of powers turned by pi / half more and less.
  const [moreRe, moreIm] = divided(1 + endRe, endIm, size, turn + Math.PI / half)
  const [lessRe, lessIm] = divided(1 + endRe, endIm, size, turn - Math.PI / half)
  const fadedRe = evenRe / 2 + (moreRe + lessRe) / 4
  const fadedIm = evenIm / 2 + (moreIm + lessIm) / 4
  return [evenRe + endRe * fadedRe - endIm * fadedIm, evenIm + endRe * fadedIm + endIm * fadedRe]
}

/** (re + i im) / (1 - size exp(i turn)) */
function divided(re: number, im: number, size: number, turn: number): [number, number] {
  const lowRe = 1 - size * Math.cos(turn)
  const lowIm = -size * Math.sin(turn)
  const norm = lowRe * lowRe + lowIm * lowIm
  return [(re * lowRe + im * lowIm) / norm, (im * lowRe - re * lowIm) / norm]
}

/** Cholesky, in place: the matrix is symmetric and, by its ridge, positive definite. */
function solveSymmetric(rows: Float64Array[], right: Float64Array): Float64Array {
  const count = rows.length
  for (let i = 0; i < count; i++) {
    const row = rows[i]!
    for (let j = 0; j <= i; j++) {
      let sum = row[j]!
      for (let k = 0; k < j; k++) sum -= row[k]! * rows[j]![k]!
      row[j] = i === j ? Math.sqrt(Math.max(sum, 1e-300)) : sum / rows[j]![j]!
    }
  }
  const solved = right.slice()
  for (let i = 0; i < count; i++) {
    for (let k = 0; k < i; k++) solved[i]! -= rows[i]![k]! * solved[k]!
    solved[i]! /= rows[i]![i]!
  }
  for (let i = count - 1; i >= 0; i--) {
    for (let k = i + 1; k < count; k++) solved[i]! -= rows[k]![i]! * solved[k]!
    solved[i]! /= rows[i]![i]!
  }
  return solved
}
