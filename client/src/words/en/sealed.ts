/** What `screens/sealed.tsx` says. */

export const revoked = 'The owner has withdrawn {at, select, desk {this device} other {this phone}}'
export const shutOut = 'The owner has shut {at, select, desk {this device} other {this phone}} out'
export const accessOver = 'The time you were given is over'
export const signedOut = '{at, select, desk {This device} other {This phone}} is signed out'
export const revokedUnsent =
  'Each goes to the workshop by itself, is marked there, and then goes from {at, select, desk {this device} other {this phone}}.'
export const shutOutUnsent =
  'Nobody sees that here, and the workshop takes nothing more from {at, select, desk {this device} other {this phone}}. Write it to a file: the owner may take that in at the workshop’s computer.'
export const unsent =
  'Nobody sees that here. It goes to the workshop when a new invitation lets {at, select, desk {this device} other {this phone}} in.'
export const showsNothing =
  'It shows nothing of what it kept. Names, words, VIN and plates that the workshop has are gone from it.'
export const allSent = 'Everything that was written here is in the workshop.'
export const onlyOnThisPhone = 'Only on {at, select, desk {this device} other {this phone}}'
export const openInvitation = 'Open a new invitation'
export const writeToFile = 'Write it to a file, for the workshop’s computer'
export const signOutTitle = 'Sign {at, select, desk {this device} other {this phone}} out'
export const signOutMeans =
  'It forgets its key and what it received, and shows nothing any more. To come back it needs a new invitation from the owner.'
export const signOutUnsent =
  'That stays here, unseen, and goes to the workshop when a new invitation lets {at, select, desk {this device} other {this phone}} in. Better send it first, within reach of the workshop.'
export const sendNow = 'Send now'
export const staySignedIn = 'Stay signed in'
export const signingOut = 'Signing out'
export const signOut = 'Sign out'
export const openElsewhere = 'Two Turns is open in another window. Sign out there.'
export const entries = '{n, plural, one {# entry} other {# entries}}'
export const photos = '{photos, plural, one {# photo} other {# photos}} ({bytes})'
export const entriesAndPhotos =
  '{n, plural, one {# entry} other {# entries}} and {photos, plural, one {# photo} other {# photos}} ({bytes})'
