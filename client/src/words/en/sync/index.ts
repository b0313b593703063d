/** What `sync/index.ts` says. */

export const readingFromTheWorkshopOfRecords = 'Reading from the workshop: {records} of {all} records.'
export const noLineToTheWorkshop = 'No line to the workshop. {rest}'
export const syncStoppedUnexpectedlyItTries =
  'Sync stopped unexpectedly; it tries again. Everything stays on this phone.'
export const storageOfThisPhoneDoes =
  'The storage of this phone does not answer. Nothing is sent until it does.'
export const everythingIsInTheWorkshop = 'Everything is in the workshop.'
export const workshopWouldNotTakeKept =
  'The workshop would not take {n, plural, one {# entry} other {# entries}}: kept on this phone, with the reason.'
export const entriesAreOnThisPhone =
  '{entries, plural, one {# entry is} other {# entries are}} on this phone.'
export const photosAreOnThisPhone = '{photos, plural, one {# photo is} other {# photos are}} on this phone.'
export const bothAreOnThisPhone =
  '{entries, plural, one {# entry} other {# entries}} and {photos, plural, one {# photo} other {# photos}} are on this phone.'
export const ofPhotosToGo = ', {bytes} of photos to go'
export const ofHaveGone = '{sent} of {total} {total, plural, one {has} other {have}} gone{bytes}.'
export const sending = 'Sending {what}. {gone}'
export const offline = 'The workshop does not answer.'
export const offlineHint = 'Try again within reach of it.'
