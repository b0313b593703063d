/** What `screens/bay/hand-over.tsx` says. */

export const toWhom = 'Who goes on with it?'
export const chooseAbove = 'Choose above'
export const noNameYet = 'No name yet'
export const handTo = 'Hand it to {to}'
export const nobody = 'No other name is on this phone yet: names come from the workshop, with a line.'
export const whatToSay = 'What should be known?'
export const standsAt =
  '{hasStep, select, true {It stands at {number}, {title}{isBegun, select, true {, which is begun} other {}}.} other {No step is left.}} {out, plural, =0 {All tools are on the board.} one {One tool is off the board.} other {# tools are off the board.}}'
export const handed = 'Handed to {to}. {where} {said}'
export const isHanded = 'Noted: handed to {to}.'
export const howItGoesOn =
  'It is noted in the job, in your name. On the other phone the job is opened from the list; what may be half done is looked at first there.'
