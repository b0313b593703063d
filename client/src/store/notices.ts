/** What the store announces, in words: what happened to what this phone keeps, and what to do. */
import type { Last } from './canary'
import { runsOf } from './numbers'
import { countedTrouble, troubleAt, troubleOf } from './trouble'
import type { Trouble } from './types'
import * as words from '../words/en/store/notices'
import { t } from '../words/message'

/** `isWhole`: both places were looked through, and every number was found. */
export const putBack = (entries: number, isWhole: boolean): Trouble =>
  troubleAt('put-back', (at) => ({
    message: t(words.putBack, { at, n: entries, isWhole }),
    hint: t(words.putBackHint, { at }),
  }))

export const copyMended = (entries: number, isWhole: boolean): Trouble =>
  troubleAt('copy-mended', (at) => ({
    message: t(words.copyMended, { at, n: entries, isWhole }),
    hint: t(words.putBackHint, { at }),
  }))

/** `numbers` as the phone gave them, of one device or of several. */
export const entriesLost = (numbers: number[]): Trouble =>
  troubleAt('entries-lost', (at) => ({
    message: t(words.entriesLost, {
      at,
      n: numbers.length,
      runs: runsOf(numbers)
        .map(([first, last]) => (first === last ? `${first}` : t(words.run, { first, last })))
        .join(', '),
    }),
    hint: t(words.entriesLostHint),
  }))

export const wiped = (last: Last): Trouble =>
  troubleAt('phone-wiped', (at) => ({
    message: t(words.phoneWiped, { at, workshopName: last.workshopName, seq: last.seq }),
    hint: last.waiting > 0 ? t(words.phoneWipedUnsent, { n: last.waiting }) : t(words.phoneWipedSent),
  }))

export const keyLost = (entries: number, workshop: string): Trouble =>
  troubleAt('key-lost', (at) => ({
    message: workshop
      ? t(words.keyLostFor, { at, n: entries, workshop })
      : t(words.keyLost, { at, n: entries }),
    hint: t(words.keyLostHint, { at }),
  }))

export const photosLost = countedTrouble('photos-lost', words.photosLost, words.photosLostHint)

/** The workshop keeps what it cannot act on: a device that was revoked so is still let in. */
export const notInForce = countedTrouble('not-in-force', words.notInForce, words.notInForceHint)

/** The owner's order goes before: but nobody is to believe that it was sent. */
export const erasedUnsent = countedTrouble('erased-unsent', words.erasedUnsent, words.erasedUnsentHint)

/** Of a phone that is withdrawn or signed out. */
export const refusedAndGone = countedTrouble('refused-gone', words.refusedGone, words.refusedGoneHint)

export const storageMended = troubleOf('storage-mended', words.storageMended, words.storageMendedHint)

export const storageClosed = troubleOf('storage-closed', words.storageClosed, words.storageClosedHint)

export const storageFailing = troubleOf('storage-failing', words.storageFailing, words.storageFailingHint)

/** The journal is there, and could not be looked at: whether anything is lost, nobody knows yet. */
export const copyUnread = troubleOf('copy-unread', words.copyUnread, words.copyUnreadHint)

export const oneCopy = troubleOf('one-copy', words.oneCopy, words.oneCopyHint)
