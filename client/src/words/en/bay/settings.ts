/** What `screens/bay/settings.tsx` says. */

export const themes = {
  indoors: 'Indoors',
  sun: 'In the sun',
  night: 'At night',
} as const
export const rightHand = 'Right hand'
export const leftHand = 'Left hand'
export const nameMissing = 'name not here yet'
export const itsFingerprint = 'its fingerprint'
export const thisPhone = 'this phone'
export const whoWorks = 'Who works'
export const nameMissingTitle = 'Name not here yet'
export const signedInName =
  'What is written from now on is signed in this name. The owner admits people on this phone, at the desk.'
export const thisPhoneTitle = 'This phone'
export const whereItAllIs = 'Where it all is'
export const threePlaces = 'phone, workshop, backup'
export const light = 'Light'
export const hand = 'Hand'
export const calls = 'Calls'
export const photosOver = 'Photos over mobile data'
export const photosAtOnce = 'Send them at once'
export const photosLater = 'Let them wait for another line'
export const lineNotKnown = 'This browser does not say over which line it sends: photos go over any.'
export const triedIn =
  'The app is tried in Chromium, whole, and in Firefox and WebKit from joining to sending. Elsewhere send often, and look here what is lacking.'
export const whatItKeeps = 'What it keeps'
export const storageKept = 'The browser has promised to keep what is on this phone.'
export const storageNotKept =
  'The browser has not promised to keep what is on this phone: what is not in the workshop yet may be thrown away when the phone is short of room.'
export const whose = 'Whose'
export const compareFingerprint =
  "The fingerprint is the one on the workshop's paper. If they differ, this phone writes for someone else."
export const more = 'More'
export const signOutMeans = 'it forgets its key and what it received'
export const signOut = 'Sign this phone out'
export const licencesMeans = 'of the app, and of the work of others in it'
export const licences = 'Licences'
export const personLabel = 'person'
export const mayLabel = 'may'
export const workshopLabel = 'workshop'
