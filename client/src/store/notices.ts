/** What the store announces, in words: what happened to what this phone keeps, and what to do. */
import type { Last } from './canary'
import { runsOf } from './numbers'
import type { Trouble } from './types'
import * as words from '../words/en/store/notices'
import { t } from '../words/message'

/** `isWhole`: both places were looked through, and every number was found. */
export const putBack = (entries: number, isWhole: boolean): Trouble => ({
  code: 'put-back',
  message: t(words.putBack, { n: entries, isWhole }),
  hint: t(words.putBackHint),
})

export const copyMended = (entries: number, isWhole: boolean): Trouble => ({
  code: 'copy-mended',
  message: t(words.copyMended, { n: entries, isWhole }),
  hint: t(words.putBackHint),
})

/** `numbers` as the phone gave them, of one device or of several. */
export const entriesLost = (numbers: number[]): Trouble => ({
  code: 'entries-lost',
  message: t(words.entriesLost, {
    n: numbers.length,
    runs: runsOf(numbers)
      .map(([first, last]) => (first === last ? `${first}` : t(words.run, { first, last })))
      .join(', '),
  }),
  hint: t(words.entriesLostHint),
})

export const wiped = (last: Last): Trouble => ({
  code: 'phone-wiped',
  message: t(words.phoneWiped, { workshopName: last.workshopName, seq: last.seq }),
  hint: last.waiting > 0 ? t(words.phoneWipedUnsent, { n: last.waiting }) : t(words.phoneWipedSent),
})

export const keyLost = (entries: number, workshop: string): Trouble => ({
  code: 'key-lost',
  message: workshop ? t(words.keyLostFor, { n: entries, workshop }) : t(words.keyLost, { n: entries }),
  hint: t(words.keyLostHint),
})

export const photosLost = (photos: number): Trouble => ({
  code: 'photos-lost',
  message: t(words.photosLost, { n: photos }),
  hint: t(words.photosLostHint),
})

/** The workshop keeps what it cannot act on: a device that was revoked so is still let in. */
export const notInForce = (entries: number): Trouble => ({
  code: 'not-in-force',
  message: t(words.notInForce, { n: entries }),
  hint: t(words.notInForceHint),
})

/** The owner's order goes before: but nobody is to believe that it was sent. */
export const erasedUnsent = (count: number): Trouble => ({
  code: 'erased-unsent',
  message: t(words.erasedUnsent, { n: count }),
  hint: t(words.erasedUnsentHint),
})

/** Of a phone that is withdrawn or signed out. */
export const refusedAndGone = (count: number): Trouble => ({
  code: 'refused-gone',
  message: t(words.refusedGone, { n: count }),
  hint: t(words.refusedGoneHint),
})

export const storageMended: Trouble = {
  code: 'storage-mended',
  message: t(words.storageMended),
  hint: t(words.storageMendedHint),
}

export const storageClosed: Trouble = {
  code: 'storage-closed',
  message: t(words.storageClosed),
  hint: t(words.storageClosedHint),
}

export const storageFailing: Trouble = {
  code: 'storage-failing',
  message: t(words.storageFailing),
  hint: t(words.storageFailingHint),
}

/** The journal is there, and could not be looked at: whether anything is lost, nobody knows yet. */
export const copyUnread: Trouble = {
  code: 'copy-unread',
  message: t(words.copyUnread),
  hint: t(words.copyUnreadHint),
}

export const oneCopy: Trouble = {
  code: 'one-copy',
  message: t(words.oneCopy),
  hint: t(words.oneCopyHint),
}
