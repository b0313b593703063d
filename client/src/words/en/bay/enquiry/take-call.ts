/** What `screens/bay/enquiry/take-call.tsx` says. */

export const isBegun = 'A call was begun'
export const callIsKept = 'The call is kept, on this phone.'
