/** What `screens/bay/enquiry/one-call.tsx` says. */

export const call = 'A call'
export const allJobs = 'all jobs'
export const openTheJob = 'Open the job'
export const nothingTwice = 'nothing is typed twice'
export const theySaidNo = 'they said no: all the same'
export const whatNext = 'What next'
export const callBack = 'Call the customer'
export const changeIt = 'Something was said otherwise: change it'
