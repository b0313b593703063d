/** What `work/photo-facts.ts` says. */

export const clockNotMeasured = 'How far that clock was off was not measured'
export const clockWasRight = 'Measured when it came in, that clock was less than a second off the workshop’s'
export const clockWasOff =
  'Measured when it came in, that clock was {by} {isAhead, select, true {ahead of} other {behind}} the workshop’s'
export const seconds = '{n, plural, one {# second} other {# seconds}}'
export const minutes = '{n, plural, one {# minute} other {# minutes}}'
export const proves =
  'It proves that this device signed this very picture as a photo of this step, and that the workshop had received that at the time given here.'
export const recordProves =
  'Its record proves that this device signed a photo with this hash for this step, and that the workshop had received that at the time given here; the picture itself is not here to be compared.'
export const provesNot =
  'It does not prove when before that it was taken, that it shows this vehicle, or whose hand held the device{isPicked, select, true {; and as it was picked from the phone’s pictures, not that it was taken at this step} other {}}.'
export const oddProves = {
  doubted:
    'It proves that the device’s key signed it, and nothing of the work: the device might not write it, and no owner has accepted it.',
  forked:
    'It proves that the device’s key signed it; but that key signed two entries under one number, so one of them was made on a copy of the phone or its storage.',
  gap: 'It proves that this device signed this very picture as a photo of this step; but something that it wrote before is missing.',
} as const
export const oddNot =
  'It does not prove when it was taken, that it shows this vehicle, or whose hand held the device{isPicked, select, true {, and it was picked from the phone’s pictures} other {}}.'
export const notReceivedProves =
  'It proves nothing to others yet: its entry is on this device alone, and the workshop has recorded nothing of it.'
export const notReceivedNot = 'Until it comes in, not even that it is no younger than it says.'
export const damagedProves =
  'The bytes that lie in the workshop are not those that were signed: they prove nothing, and are not shown.'
export const damagedNot =
  'Its record still proves that a photo with the hash below was signed for this step; whoever has those bytes can be held to it.'
