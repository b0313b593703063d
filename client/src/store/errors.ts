/** What the store can refuse: a fact, a stable code, and what to do about it. */
import { troubleOf } from './trouble'
import type { Trouble } from './types'
import * as words from '../words/en/store/errors'
import { t } from '../words/message'

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
  message: t(words.secondTab),
  hint: t(words.secondTabHint),
}

/** Of a second window that finds nobody's storage: the first knows why, and whether anything is kept. */
export const seenInFirst: Trouble = troubleOf('second-tab', (at) => ({
  message: t(words.seenInFirst, { at }),
  hint: t(words.seenInFirstHint),
}))

export const notEnrolled: Trouble = troubleOf('not-enrolled', (at) => ({
  message: t(words.notEnrolled, { at }),
  hint: t(words.notEnrolledHint, { at }),
}))

const full: Trouble = troubleOf('phone-full', (at) => ({
  message: t(words.phoneFull, { at }),
  hint: t(words.phoneFullHint),
}))

/** Not even a look at it: nothing is said of what it holds. */
export const fullUnseen: Trouble = troubleOf('phone-full', (at) => ({
  message: t(words.tooFullToRead, { at }),
  hint: t(words.tooFullToReadHint, { at }),
}))

const taken: Trouble = {
  code: 'place-taken',
  message: t(words.placeTaken),
  hint: t(words.placeTakenHint),
}

/** By a screen from before the comparison: what was put back since may be the same act. */
export const cameBack: Trouble = {
  code: 'act-came-back',
  message: t(words.cameBack),
  hint: t(words.cameBackHint),
}

const differs: Trouble = troubleOf('read-back-differs', (at) => ({
  message: t(words.readBackDiffers, { at }),
  hint: t(words.readBackDiffersHint, { at }),
}))

const silent: Trouble = troubleOf('storage-silent', (at) => ({
  message: t(words.storageSilent, { at }),
  hint: t(words.storageSilentHint),
}))

/** Steps and readings still go in: the ballast has been given up for them. */
export const photosWait: Trouble = troubleOf('photos-wait', (at) => ({
  message: t(words.photosWait, { at }),
  hint: t(words.photosWaitHint, { at }),
}))

const midway: Trouble = troubleOf('kept-midway', (at) => ({
  message: t(words.keptMidway, { at }),
  hint: t(words.keptMidwayHint),
}))

export const olderApp: Trouble = troubleOf('older-app', (at) => ({
  message: t(words.olderApp, { at }),
  hint: t(words.olderAppHint),
}))

export const newerWindow: Trouble = {
  code: 'newer-window',
  message: t(words.newerWindow),
  hint: t(words.newerWindowHint),
}

export const upgradeBlocked: Trouble = {
  code: 'upgrade-blocked',
  message: t(words.upgradeBlocked),
  hint: t(words.upgradeBlockedHint),
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
