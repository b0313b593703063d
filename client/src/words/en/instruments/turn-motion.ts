/** What `instruments/turn-motion.ts` says. */

export const anotherWay = 'Take the angle another way.'
export const noRates = 'This phone gives the page no turning rates.'
export const needsTap = 'The phone asks for a tap before it gives its turning rates.'
export const needsTapHint = 'Tap the key again.'
export const notAllowed = 'The motion sensor is not allowed for this page.'
export const notAllowedHint = 'Allow it in the browser settings. {otherWay}'
