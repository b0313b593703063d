/** What `screens/bay/give-reading.tsx` says. */

export const saidBy = {
  pluck: 'by the sound of the belt',
  marks: 'by marks on a photo',
  turn: 'by the phone on the tool',
  hand: 'by hand',
} as const
