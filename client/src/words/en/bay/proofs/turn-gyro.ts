/** What `screens/bay/proofs/turn-gyro.ts` says. */

export const motionSensorDoesNotOpen = 'The motion sensor does not open.'
export const takeTheAngleAnotherWay = 'Take the angle another way.'
