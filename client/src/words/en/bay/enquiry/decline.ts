/** What `screens/bay/enquiry/decline.tsx` says. */

export const ways = {
  call: 'On the telephone',
  message: 'By a message',
  here: 'Here, in person',
} as const
export const noIsKept = 'Their no is kept, on this phone.'
export const howDidTheySaySo = 'They do not want it. How did they say so?'
export const chooseAbove = 'Choose above'
export const keepTheNo = 'Keep their no'
export const wasWarned = 'The call has the warning that they were given.'
export const inTheirWords = 'In their words, if there are any'
