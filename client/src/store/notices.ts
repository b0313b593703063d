/** What the store announces, in words: what happened to what this phone keeps, and what to do. */
import type { Last } from './canary'
import type { Trouble } from './types'

const counted = (n: number, one: string, many = `${one}s`) => `${n} ${n === 1 ? one : many}`
const were = (n: number) => (n === 1 ? 'was' : 'were')

export const putBack = (entries: number): Trouble => ({
  code: 'put-back',
  message: `The storage of this phone had lost ${counted(entries, 'entry', 'entries')}. The second copy on it had them: they ${were(entries)} put back, and nothing is missing.`,
  hint: 'Bring this phone within reach of the workshop before the next job.',
})

export const copyMended = (entries: number): Trouble => ({
  code: 'copy-mended',
  message: `The second copy on this phone was damaged. It was written anew with ${counted(entries, 'entry', 'entries')} from the first, and nothing is missing.`,
  hint: 'Bring this phone within reach of the workshop before the next job.',
})

export const entriesLost = (entries: number, last: Last): Trouble => ({
  code: 'entries-lost',
  message: `This phone has lost ${counted(entries, 'entry', 'entries')} out of both its places: the last it wrote was number ${last.seq}.`,
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

export const storageMended: Trouble = {
  code: 'storage-mended',
  message: 'The storage of this phone had failed. What it keeps was compared with the second copy and written anew; nothing is missing.',
  hint: 'Delete films or apps on this phone, and bring it within reach of the workshop before the next job.',
}

export const storageFailing: Trouble = {
  code: 'storage-failing',
  message: 'The storage of this phone has failed and cannot be mended yet. Only the second copy of what is written now is sure.',
  hint: 'Delete films or apps on this phone, and bring it within reach of the workshop before anything else.',
}

export const oneCopy: Trouble = {
  code: 'one-copy',
  message: 'The second copy of what is written on this phone cannot be kept at present.',
  hint: 'Close Two Turns and open it again. Until then bring this phone within reach of the workshop after each job.',
}
