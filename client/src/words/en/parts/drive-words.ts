/** The drive in words, for whoever does not see its drawing. */

export const listed = '{most} and {last}'
export const the = 'the {label}'
export const pin = 'pin {tag}'
export const fromTheBeltEnd = 'The drive, seen from the belt end.'
export const belt = {
  old: 'The old belt is on.',
  new: 'The new belt is on.',
  off: 'The belt is off.',
} as const
export const pinsAreIn = '{n, plural, one {Pin {tags} is in.} other {Pins {tags} are in.}}'
export const pinsAreOut = '{n, plural, one {Pin {tags} is out.} other {Pins {tags} are out.}}'
export const pinsMayBeIn =
  '{n, plural, one {Pin {tags} may be in or out.} other {Pins {tags} may be in or out.}}'
export const offTheEngine = 'Off the engine: {parts}.'
export const lookAt = 'Look at {parts}.'
export const pluck = 'Pluck the span from the {one} to the {other}.'
export const tightens =
  'To tighten the belt, the {tensioner} turns {way, select, clockwise {clockwise} other {anticlockwise}}.'
export const order = 'The belt goes on in this order: {wheels}.'
export const slack =
  'It is slack from the {first} over {slack} to the {last}, and tight from there back to the {first}.'
export const count = '{teeth} teeth from the mark of the {one} to that of the {other}.'
