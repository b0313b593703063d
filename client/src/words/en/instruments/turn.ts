/**
 * What `instruments/turn` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const noFullTurn = '{value} degrees were measured: that was not one whole turn.'
export const noFullTurnHint =
  'Lay the phone against the edge of a table, turn it once round to the same edge.'
export const noStill = 'The sensor gave too little before the turn.'
export const noStillHint = 'Hold still for a second first.'
export const notStill = 'The phone was not still before the turn.'
export const notStillHint = 'Rest the tool, wait a second, then turn.'
export const keepPageInFront = 'Keep this page in front and the screen on, and turn again.'
export const noSamples = 'The sensor gave too little during the turn.'
export const sensorPaused = 'The sensor paused during the turn.'
export const tooLong = 'The turn took more than two minutes.'
export const tooLongHint = 'Measure it in several strokes.'
export const tooFast = 'The turn was too fast to follow.'
export const tooFastHint = 'Turn again, slower.'
export const noTurn = 'Hardly anything turned.'
export const noTurnHint = 'Fix the phone to the tool, turn it.'
export const turnedBack = 'The tool went back by {rounded} degrees.'
export const turnedBackHint = 'Measure each stroke alone, from rest to rest: the strokes add up.'
export const loose = 'The phone did not turn about one axis.'
export const looseHint = 'Fix the phone to the tool so that it cannot tilt.'
export const turnedBy = 'Turned by {value} degrees, true to {rounded}.'
