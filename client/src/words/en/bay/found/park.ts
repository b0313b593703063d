/** What `screens/bay/found/park.tsx` says. */

export const whyDoesItRest = 'Why does it rest?'
export const chooseAbove = 'Choose above'
export const thenParked = 'one tap parks it'
export const wordsFirst = 'Words are not needed. What is typed goes with the reason that is tapped.'
export const isParked = 'The job is parked.'
export const itIsParked = 'This job is parked'
export const goOnWithIt = 'Go on with it'
export const goesOn = 'The job goes on.'
export const lookFirst = 'Everything stands as it was left. Tools that are out are still out.'
