/** What `screens/bay/enquiry/calls.tsx` says. */

export const somebody = 'somebody'
export const call = 'Call: {name}'
export const takeACall = 'Take a call'
export const takeACallNote = 'may it run, is it due, who calls'
