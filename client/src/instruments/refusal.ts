/** What an instrument says instead of a value: the fact first, then what to do. The mechanic reads both as they stand. */
export interface Refusal {
  ok: false
  code: string
  message: string
  hint: string
}

/** Raised when an instrument has nothing to read from; the words are for the mechanic. */
export abstract class NothingToRead<Words extends { message: string; hint: string }> extends Error {
  constructor(
    readonly trouble: Words,
    cause?: unknown,
  ) {
    super(trouble.message, { cause })
  }
}

export const refuse = (code: string, message: string, hint: string): Refusal => ({
  ok: false,
  code,
  message,
  hint,
})

/** Halves upward, as the Python twins round: `Math.round` for numbers that print the same on both sides. */
export const rounded = (x: number): number => Math.floor(x + 0.5) || 0
