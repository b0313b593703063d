/** What `screens/bay/proofs/pluck-parts.tsx` says. */

export const whatItHears = 'What it hears'
export const soundLevel = 'Sound at the microphone'
export const threePlucks = 'The three plucks'
export const pluck = 'Pluck {at}'
export const inRange = 'In range'
export const tooLow = 'Too low'
export const tooHigh = 'Too high'
