/** What the store can refuse: a fact, a stable code, and what to do about it. */
import type { Trouble } from './types'

/** Nothing of what was asked is kept; everything kept before still is. */
export class NotKept extends Error {
  constructor(
    readonly trouble: Trouble,
    cause?: unknown,
  ) {
    super(trouble.message, { cause })
    this.name = 'NotKept'
  }
}

export const secondTab: Trouble = {
  code: 'second-tab',
  message: 'Two Turns is open twice, and only the first may write.',
  hint: 'Close this one and go on in the other.',
}

/** Of a second window that finds nobody's storage: the first knows why, and whether anything is kept. */
export const seenInFirst: Trouble = {
  code: 'second-tab',
  message: 'Two Turns is open twice, and only the first can tell what this phone keeps.',
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

/** Not even a look at it: nothing is said of what it holds. */
export const fullUnseen: Trouble = {
  code: 'phone-full',
  message: 'The storage of this phone is so full that what it keeps cannot be looked at.',
  hint: 'Delete films or apps on this phone. It is looked at again by itself.',
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

/** Steps and readings still go in: the ballast has been given up for them. */
export const photosWait: Trouble = {
  code: 'photos-wait',
  message: 'The storage of this phone is full: steps and readings still go in, photos wait.',
  hint: 'Delete films or apps on this phone, then take the photo again.',
}

const midway: Trouble = {
  code: 'kept-midway',
  message: 'The storage of this phone failed in the middle of the last act.',
  hint: 'Close Two Turns, open it again, and look whether the last act is there before doing it again.',
}

export const olderApp: Trouble = {
  code: 'older-app',
  message: 'What this phone holds was written by a newer Two Turns than this one.',
  hint: 'Load Two Turns again when there is a signal. Everything can be written to a file until then.',
}

export const newerWindow: Trouble = {
  code: 'newer-window',
  message: 'A newer Two Turns is open in another window. This one has let go of the storage.',
  hint: 'Go on in the other window, or load this one again.',
}

export const upgradeBlocked: Trouble = {
  code: 'upgrade-blocked',
  message: 'An older Two Turns in another window still holds the storage.',
  hint: 'Close all other windows of Two Turns. This one goes on by itself then.',
}

/** Raised while another window holds the old form of the storage open. */
export class UpgradeBlocked extends Error {}

/** Raised when an act lies in one of the two places and could not be taken out of it again. */
export class KeptMidway extends Error {}

/** Raised when the bytes on disk are not the bytes written. */
export class ReadBackDiffers extends Error {
  override readonly name = 'ReadBackDiffers' // by its name it crosses from the worker
}

/** A check of ours found the ground moved between signing and keeping. */
export class PlaceTaken extends Error {}

/** DataError: Chromium could not write the file of a blob. */
export const isFull = (error: unknown) =>
  error instanceof DOMException && (error.name === 'QuotaExceededError' || error.name === 'DataError')

/**
 * Put a failure of the browser's storage into words; null when it is none of the storage's.
 */
export function asTrouble(error: unknown): Trouble | null {
  if (error instanceof NotKept) return error.trouble
  if (error instanceof ReadBackDiffers) return differs
  if (error instanceof PlaceTaken) return taken
  if (error instanceof UpgradeBlocked) return upgradeBlocked
  if (error instanceof KeptMidway) return midway
  if (!(error instanceof DOMException)) return null
  if (error.name === 'VersionError') return olderApp
  if (isFull(error)) return full
  return error.name === 'ConstraintError' ? taken : silent
}
