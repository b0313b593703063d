/** What `screens/paper/share.tsx` says. */

export const title = "The customer's own page"
export const whatItIs =
  'A code that opens this sheet on any phone, without a name or a password. It shows this job alone, as it stands now: the words above and the photos that you choose. It ends by itself, when you end it, or when the words are erased. It opens once this device has sent it to the workshop.'
export const scanNow =
  'Let the customer scan it now, or print the sheet: the code is shown only here, and is on paper as long as this page stays open. It can be made anew at any time.'
export const isOpen =
  'Open until {until}, with {photos, plural, =0 {no photo} one {# photo} other {# photos}}{bag, select, true { and the file that proves it} other {}}.'
export const anew = 'Make its code anew: the former one opens nothing then'
export const withBag =
  'With the file that proves it: the whole record of this job, to be kept and checked without the workshop. Of names and other private words it has those on the sheet, of photos copies of those you choose.'
export const end = 'End it'
export const howLong = 'How long'
export const days = '{n} days'
export const whichPhotos = 'Photos for the customer: {n} of {most} at most'
export const make = 'Make the code'
