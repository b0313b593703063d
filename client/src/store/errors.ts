/** What the store can refuse: a fact, a stable code, and what to do about it. */
import { troubleOf } from './trouble'
import type { Trouble } from './types'
import * as words from '../words/en/store/errors'

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

export const secondTab = troubleOf('second-tab', words.secondTab, words.secondTabHint)

/** Of a second window that finds nobody's storage: the first knows why, and whether anything is kept. */
export const seenInFirst = troubleOf('second-tab', words.seenInFirst, words.seenInFirstHint)

export const notEnrolled = troubleOf('not-enrolled', words.notEnrolled, words.notEnrolledHint)

const full = troubleOf('phone-full', words.phoneFull, words.phoneFullHint)

/** Not even a look at it: nothing is said of what it holds. */
export const fullUnseen = troubleOf('phone-full', words.tooFullToRead, words.tooFullToReadHint)

const taken = troubleOf('place-taken', words.placeTaken, words.placeTakenHint)

/** By a screen from before the comparison: what was put back since may be the same act. */
export const cameBack = troubleOf('act-came-back', words.cameBack, words.cameBackHint)

const differs = troubleOf('read-back-differs', words.readBackDiffers, words.readBackDiffersHint)

const silent = troubleOf('storage-silent', words.storageSilent, words.storageSilentHint)

/** Steps and readings still go in: the ballast has been given up for them. */
export const photosWait = troubleOf('photos-wait', words.photosWait, words.photosWaitHint)

const midway = troubleOf('kept-midway', words.keptMidway, words.keptMidwayHint)

export const olderApp = troubleOf('older-app', words.olderApp, words.olderAppHint)

export const newerWindow = troubleOf('newer-window', words.newerWindow, words.newerWindowHint)

export const upgradeBlocked = troubleOf('upgrade-blocked', words.upgradeBlocked, words.upgradeBlockedHint)

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
