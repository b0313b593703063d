/** The spectrum of a short piece of sound. */

/** Magnitudes of bins 0 to size/2 of the samples, padded with zeros; radix 2, `size` a power of two. */
export function fftMagnitudes(samples: Float64Array, size: number): Float64Array {
  const re = new Float64Array(size)
  const im = new Float64Array(size)
  const bits = Math.log2(size)
  for (let i = 0; i < samples.length; i++) re[reversed(i, bits)] = samples[i]!
  for (let width = 2; width <= size; width *= 2) butterflies(re, im, width)
  return Float64Array.from({ length: size / 2 + 1 }, (_, i) => Math.hypot(re[i]!, im[i]!))
}

function reversed(index: number, bits: number): number {
  let out = 0
  for (let bit = 0; bit < bits; bit++) out = (out << 1) | ((index >> bit) & 1)
  return out
}

function butterflies(re: Float64Array, im: Float64Array, width: number): void {
  const half = width / 2
  for (let k = 0; k < half; k++) {
    const angle = (-2 * Math.PI * k) / width
    const cos = Math.cos(angle)
    const sin = Math.sin(angle)
    for (let top = k; top < re.length; top += width) {
      const low = top + half
      const turnedRe = re[low]! * cos - im[low]! * sin
      const turnedIm = re[low]! * sin + im[low]! * cos
      re[low] = re[top]! - turnedRe
      im[low] = im[top]! - turnedIm
      re[top]! += turnedRe
      im[top]! += turnedIm
    }
  }
}
