/** What `screens/bay/enquiry/decline.tsx` says. */

export const noIsKept = 'Their no is kept, on this phone.'
export const howDidTheySaySo = 'They do not want it. How did they say so?'
export const chooseAbove = 'Choose above'
export const wasWarned = 'The call has the warning that they were given.'
