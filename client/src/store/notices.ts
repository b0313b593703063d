/** What the store announces, in words: what happened to what this phone keeps, and what to do. */
import type { Last } from './canary'
import { runsOf } from './numbers'
import type { Trouble } from './types'

const counted = (n: number, one: string, many = `${one}s`) => `${n} ${n === 1 ? one : many}`
const were = (n: number) => (n === 1 ? 'was' : 'were')
/** Only after both places were looked through, and every number was found. */
const andWhole = (isWhole: boolean) => (isWhole ? ', and nothing is missing' : '')

export const putBack = (entries: number, isWhole: boolean): Trouble => ({
  code: 'put-back',
  message:
    entries === 1
      ? `The storage of this phone had lost 1 entry. The second copy on it had it: it was put back${andWhole(isWhole)}.`
      : `The storage of this phone had lost ${entries} entries. The second copy on it had them: they were put back${andWhole(isWhole)}.`,
  hint: 'Bring this phone within reach of the workshop before the next job.',
})

export const copyMended = (entries: number, isWhole: boolean): Trouble => ({
  code: 'copy-mended',
  message: `The second copy on this phone was damaged. It was written anew with ${counted(entries, 'entry', 'entries')} from the first${andWhole(isWhole)}.`,
  hint: 'Bring this phone within reach of the workshop before the next job.',
})

/** `numbers` as the phone gave them, of one device or of several. */
export const entriesLost = (numbers: number[]): Trouble => ({
  code: 'entries-lost',
  message: `This phone has lost ${counted(numbers.length, 'entry', 'entries')} out of both its places: ${numbers.length === 1 ? 'number' : 'numbers'} ${runsOf(
    numbers,
  )
    .map(([first, last]) => (first === last ? `${first}` : `${first} to ${last}`))
    .join(', ')} of what it wrote.`,
  hint: 'What had been sent comes back from the workshop with the next signal. Look at the steps of the job then: those that are missing must be done again.',
})

export const wiped = (last: Last): Trouble => ({
  code: 'phone-wiped',
  message: `This phone belonged to ${last.workshopName} and held its work up to entry ${last.seq}. The browser has thrown all of it away.`,
  hint:
    last.waiting > 0
      ? `${counted(last.waiting, 'entry', 'entries')} had not been sent and ${last.waiting === 1 ? 'is' : 'are'} lost: tell the owner. Then open a new invitation; the rest comes back from the workshop.`
      : 'All of it had been sent. Open a new invitation; it comes back from the workshop.',
})

export const keyLost = (entries: number, workshopName: string): Trouble => ({
  code: 'key-lost',
  message: `The browser has lost the key of this phone${workshopName ? ` for ${workshopName}` : ''}, so it can sign nothing more. ${counted(entries, 'entry', 'entries')} that it wrote ${were(entries)} put back from the second copy.`,
  hint: 'Open a new invitation on this phone: what it holds is then sent as it was signed. Do not clear the browser before.',
})

export const photosLost = (photos: number): Trouble => ({
  code: 'photos-lost',
  message: `The storage of this phone has lost ${counted(photos, 'photo')} that had not been sent.`,
  hint: 'Take them again: the steps they belong to show them as missing in the workshop.',
})

/** The workshop keeps what it cannot act on: a device that was revoked so is still let in. */
export const notInForce = (entries: number): Trouble => ({
  code: 'not-in-force',
  message: `${counted(entries, 'entry', 'entries')} of this phone ${were(entries)} kept by the workshop and ${entries === 1 ? 'is' : 'are'} not yet in force: the workshop's program is older than this app.`,
  hint: 'Have that program brought up to date: what was written counts then, and need not be written again.',
})

/** The owner's order goes before: but nobody is to believe that it was sent. */
export const erasedUnsent = (count: number): Trouble => ({
  code: 'erased-unsent',
  message: `${counted(count, 'value or photo', 'values and photos')} on this phone ${were(count)} erased by the owner's order before ${count === 1 ? 'it' : 'they'} had been sent.`,
  hint: 'The record that something stood there stays. Ask the owner, if it is to be written down anew.',
})

/** Of a phone that is withdrawn or signed out. */
export const refusedAndGone = (count: number): Trouble => ({
  code: 'refused-gone',
  message: `${counted(count, 'private value')} on this phone ${were(count)} refused by the workshop and thrown away: this phone shows and keeps no more of it.`,
  hint: 'Tell the owner. The entries that named them are kept.',
})

export const storageMended: Trouble = {
  code: 'storage-mended',
  message:
    'The storage of this phone had failed. What it keeps was compared with the second copy and written anew; nothing is missing.',
  hint: 'Delete films or apps on this phone, and bring it within reach of the workshop before the next job.',
}

export const storageClosed: Trouble = {
  code: 'storage-closed',
  message: 'The browser has closed the storage of this phone, and it does not answer yet.',
  hint: 'Wait until this goes, which may take half a minute. Only then is it known what is still here.',
}

export const storageFailing: Trouble = {
  code: 'storage-failing',
  message:
    'The storage of this phone has failed and cannot be mended yet. Only the second copy of what is written now is sure.',
  hint: 'Delete films or apps on this phone, and bring it within reach of the workshop before anything else.',
}

/** The journal is there, and could not be looked at: whether anything is lost, nobody knows yet. */
export const copyUnread: Trouble = {
  code: 'copy-unread',
  message:
    'The second copy on this phone cannot be read at present. Until it is, nothing new is kept, and what seems to be missing may still be there.',
  hint: 'Wait a minute, then do the last act again. If this stays after Two Turns was closed and opened again, go on with another phone.',
}

export const oneCopy: Trouble = {
  code: 'one-copy',
  message: 'The second copy of what is written on this phone cannot be kept at present.',
  hint: 'Close Two Turns and open it again. Until then bring this phone within reach of the workshop after each job.',
}
