/** What `screens/bay/proofs/turn-gyro.ts` says. */

export const noSensor = 'The motion sensor does not open.'
export const noSensorHint = 'Take the angle another way.'
