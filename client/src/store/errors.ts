/** What the store can refuse: a fact, a stable code, and what to do about it. */
import type { Trouble } from './types'

/** Nothing of what was asked is kept; everything kept before still is. */
export class NotKept extends Error {
  constructor(readonly trouble: Trouble, cause?: unknown) {
    super(trouble.message, { cause })
    this.name = 'NotKept'
  }
}

export const secondTab: Trouble = {
  code: 'second-tab',
  message: 'Two Turns is open twice, and only the first may write.',
  hint: 'Close this one and go on in the other.',
}

export const notEnrolled: Trouble = {
  code: 'not-enrolled',
  message: 'This phone belongs to no workshop yet, so it cannot sign.',
  hint: 'Open the invitation on this phone first.',
}

const full: Trouble = {
  code: 'phone-full',
  message: 'The storage of this phone is full: the last act was not kept. Everything before it was.',
  hint: 'Delete films or apps, then do the last act again.',
}

const taken: Trouble = {
  code: 'place-taken',
  message: 'Another window has written in between: the last act was not kept.',
  hint: 'Close the other window, then do the last act again.',
}

const differs: Trouble = {
  code: 'read-back-differs',
  message: 'The storage of this phone gave back something other than what was written.',
  hint: 'Bring this phone within reach of the workshop before anything else, then go on with another phone.',
}

const silent: Trouble = {
  code: 'storage-silent',
  message: 'The storage of this phone does not answer: the last act was not kept.',
  hint: 'Close Two Turns, open it again, and do the last act again.',
}

/** Raised when the bytes on disk are not the bytes written. */
export class ReadBackDiffers extends Error {}

/** A check of ours found the ground moved between signing and keeping. */
export class PlaceTaken extends Error {}

/**
 * Put a failure of the browser's storage into words; null when it is none of the storage's.
 * DataError: Chromium could not write the file of a blob.
 */
export function asTrouble(error: unknown): Trouble | null {
  if (error instanceof NotKept) return error.trouble
  if (error instanceof ReadBackDiffers) return differs
  if (error instanceof PlaceTaken) return taken
  if (!(error instanceof DOMException)) return null
  if (error.name === 'QuotaExceededError' || error.name === 'DataError') return full
  return error.name === 'ConstraintError' ? taken : silent
}
