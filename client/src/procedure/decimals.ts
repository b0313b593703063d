/**
 * Decimals as they were read: compared exactly, as text. `26.10` is 26.1, and 0.3 is 0.3.
 * A float would not do: the phone and the server must judge a reading at its limit alike, for ever.
 */

const DECIMAL = /^-?(0|[1-9][0-9]*)(\.[0-9]+)?$/

/** A decimal of formats.md, section 2. */
export function isDecimal(text: unknown): text is string {
  return typeof text === 'string' && DECIMAL.test(text)
}

function scaled(decimal: string, places: number): bigint {
  const [whole = '0', part = ''] = decimal.replace('-', '').split('.')
  const size = BigInt(whole + part.padEnd(places, '0'))
  return decimal.startsWith('-') ? -size : size
}

/** -1, 0 or 1 as `a` is below, equal to or above `b`. */
export function compare(a: string, b: string): -1 | 0 | 1 {
  const places = Math.max(...[a, b].map((text) => text.split('.')[1]?.length ?? 0))
  const difference = scaled(a, places) - scaled(b, places)
  return difference < 0n ? -1 : difference > 0n ? 1 : 0
}

/** Whether a reading is a decimal and inside its limits, which belong to the window. */
export function within(value: unknown, low: string | undefined, high: string | undefined): boolean {
  return (
    isDecimal(value) &&
    (low === undefined || compare(value, low) >= 0) &&
    (high === undefined || compare(value, high) <= 0)
  )
}
