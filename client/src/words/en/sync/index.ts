/** What `sync/index.ts` says. */

export const reading = 'Reading from the workshop: {records} of {all} records.'
export const noLine = 'No line to the workshop. {rest}'
export const stopped = 'Sync stopped unexpectedly; it tries again. Everything stays on this phone.'
export const storageSilent = 'The storage of this phone does not answer. Nothing is sent until it does.'
export const allSent = 'Everything is in the workshop.'
export const entriesRefused =
  'The workshop would not take {n, plural, one {# entry} other {# entries}}: kept on this phone, with the reason.'
export const entriesHere = '{entries, plural, one {# entry is} other {# entries are}} on this phone.'
export const photosHere = '{photos, plural, one {# photo is} other {# photos are}} on this phone.'
export const entriesAndPhotosHere =
  '{entries, plural, one {# entry} other {# entries}} and {photos, plural, one {# photo} other {# photos}} are on this phone.'
export const sentOf =
  '{sent} of {total} {total, plural, one {has} other {have}} gone{hasPhotos, select, true {, {bytes} of photos to go} other {}}.'
export const sending = 'Sending {what}. {gone}'
export const offline = 'The workshop does not answer.'
export const offlineHint = 'Try again within reach of it.'
