/** What `instruments/turn-motion.ts` says. */

export const takeTheAngleAnotherWay = 'Take the angle another way.'
export const thisPhoneGivesThePage = 'This phone gives the page no turning rates.'
export const phoneAsksForATap = 'The phone asks for a tap before it gives its turning rates.'
export const tapTheKeyAgain = 'Tap the key again.'
export const motionSensorIsNotAllowed = 'The motion sensor is not allowed for this page.'
export const allowItInTheBrowserSettings = 'Allow it in the browser settings. {otherWay}'
