/** What `store/notices.ts` says: a message under the code of its trouble, and its hint. */

export const putBack =
  'The storage of {at, select, desk {this device} other {this phone}} had lost {n, plural, one {# entry. The second copy on it had it: it was} other {# entries. The second copy on it had them: they were}} put back{isWhole, select, true {, and nothing is missing} other {}}.'
export const putBackHint =
  'Bring {at, select, desk {this device} other {this phone}} within reach of the workshop before the next job.'
export const copyMended =
  'The second copy on {at, select, desk {this device} other {this phone}} was damaged. It was written anew with {n, plural, one {# entry} other {# entries}} from the first{isWhole, select, true {, and nothing is missing} other {}}.'
export const run = '{first} to {last}'
export const entriesLost =
  '{at, select, desk {This device} other {This phone}} has lost {n, plural, one {# entry out of both its places: number} other {# entries out of both its places: numbers}} {runs} of what it wrote.'
export const entriesLostHint =
  'What had been sent comes back from the workshop with the next signal. Look at the steps of the job then: those that are missing must be done again.'
export const phoneWiped =
  '{at, select, desk {This device} other {This phone}} belonged to {workshopName} and held its work up to entry {seq}. The browser has thrown all of it away.'
export const phoneWipedUnsent =
  '{n, plural, one {# entry had not been sent and is lost} other {# entries had not been sent and are lost}}: tell the owner. Then open a new invitation; the rest comes back from the workshop.'
export const phoneWipedSent =
  'All of it had been sent. Open a new invitation; it comes back from the workshop.'
export const keyLost =
  'The browser has lost the key of {at, select, desk {this device} other {this phone}}, so it can sign nothing more. {n, plural, one {# entry that it wrote was} other {# entries that it wrote were}} put back from the second copy.'
export const keyLostFor =
  'The browser has lost the key of {at, select, desk {this device} other {this phone}} for {workshop}, so it can sign nothing more. {n, plural, one {# entry that it wrote was} other {# entries that it wrote were}} put back from the second copy.'
export const keyLostHint =
  'Open a new invitation on {at, select, desk {this device} other {this phone}}: what it holds is then sent as it was signed. Do not clear the browser before.'
export const photosLost =
  'The storage of {at, select, desk {this device} other {this phone}} has lost {n, plural, one {# photo} other {# photos}} that had not been sent.'
export const photosLostHint =
  'Take them again: the steps they belong to show them as missing in the workshop.'
export const notInForce =
  "{n, plural, one {# entry of {at, select, desk {this device} other {this phone}} was kept by the workshop and is} other {# entries of {at, select, desk {this device} other {this phone}} were kept by the workshop and are}} not yet in force: the workshop's program is older than this app."
export const notInForceHint =
  'Have that program brought up to date: what was written counts then, and need not be written again.'
export const erasedUnsent =
  "{n, plural, one {# value or photo on {at, select, desk {this device} other {this phone}} was erased by the owner's order before it} other {# values and photos on {at, select, desk {this device} other {this phone}} were erased by the owner's order before they}} had been sent."
export const erasedUnsentHint =
  'The record that something stood there stays. Ask the owner, if it is to be written down anew.'
export const refusedGone =
  '{n, plural, one {# private value on {at, select, desk {this device} other {this phone}} was} other {# private values on {at, select, desk {this device} other {this phone}} were}} refused by the workshop and thrown away: {at, select, desk {this device} other {this phone}} shows and keeps no more of it.'
export const refusedGoneHint = 'Tell the owner. The entries that named them are kept.'
export const storageMended =
  'The storage of {at, select, desk {this device} other {this phone}} had failed. What it keeps was compared with the second copy and written anew; nothing is missing.'
export const storageMendedHint =
  'Delete films or apps on {at, select, desk {this device} other {this phone}}, and bring it within reach of the workshop before the next job.'
export const storageClosed =
  'The browser has closed the storage of {at, select, desk {this device} other {this phone}}, and it does not answer yet.'
export const storageClosedHint =
  'Wait until this goes, which may take half a minute. Only then is it known what is still here.'
export const storageFailing =
  'The storage of {at, select, desk {this device} other {this phone}} has failed and cannot be mended yet. Only the second copy of what is written now is sure.'
export const storageFailingHint =
  'Delete films or apps on {at, select, desk {this device} other {this phone}}, and bring it within reach of the workshop before anything else.'
export const copyUnread =
  'The second copy on {at, select, desk {this device} other {this phone}} cannot be read at present. Until it is, nothing new is kept, and what seems to be missing may still be there.'
export const copyUnreadHint =
  'Wait a minute, then do the last act again. If this stays after Two Turns was closed and opened again, go on with another phone.'
export const oneCopy =
  'The second copy of what is written on {at, select, desk {this device} other {this phone}} cannot be kept at present.'
export const oneCopyHint =
  'Close Two Turns and open it again. Until then bring {at, select, desk {this device} other {this phone}} within reach of the workshop after each job.'
