/**
 * What `trade/torque` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const haveItCalibrated = 'Take another, and have this one calibrated.'
export const wrenchUncalibrated = 'No calibration of it is known.'
export const wrenchDue = 'Its calibration ended on {due}.'
export const wrenchCycles = 'It has clicked {cycles} times since its calibration.'
export const wrenchFits = 'It is calibrated.'
export const wrenchFitsHint = 'Calibrated until {due}.'
export const range = '{lowNm} to {highNm} N·m'
export const outsideRange = '{settingNm} N·m is {side} its range, {span}.'
export const outsideRangeHint = 'Take a wrench whose range holds the value.'
export const withinRange = '{settingNm} N·m is in its range, {span}.'
