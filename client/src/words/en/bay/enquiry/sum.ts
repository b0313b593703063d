/** What `screens/bay/enquiry/sum.tsx` says. */

export const isItSo = 'Is it so?'
export const theCall = 'The call'
export const answerAbove = 'Answer above'
export const orGoBack = 'or go back and change it'
export const keepTheCall = 'Keep the call'
export const itIsSo = 'It is so: the caller was asked'
export const advised = 'advised'
export const engine = 'engine'
export const odometer = 'odometer'
export const whatElse = 'What else they said'
