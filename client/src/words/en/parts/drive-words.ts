/** The drive in words, for whoever does not see its drawing. */

export const listed = '{most} and {last}'
export const the = 'the {label}'
export const pin = 'pin {tag}'

export const fromTheBeltEnd = 'The drive, seen from the belt end.'
export const oldBeltIsOn = 'The old belt is on.'
export const newBeltIsOn = 'The new belt is on.'
export const beltIsOff = 'The belt is off.'
export const pinsAreIn = '{n, plural, one {Pin {tags} is in.} other {Pins {tags} are in.}}'
export const pinsAreOut = '{n, plural, one {Pin {tags} is out.} other {Pins {tags} are out.}}'
export const pinsMayBeIn =
  '{n, plural, one {Pin {tags} may be in or out.} other {Pins {tags} may be in or out.}}'
export const offTheEngine = 'Off the engine: {parts}.'
export const lookAt = 'Look at {parts}.'
export const pluck = 'Pluck the span from the {from} to the {to}.'
export const tightens =
  'To tighten the belt, the {tensioner} turns {way, select, clockwise {clockwise} other {anticlockwise}}.'
export const order = 'The belt goes on in this order: {wheels}.'
export const slack =
  'It is slack from the {first} over {slack} to the {last}, and tight from there back to the {first}.'
export const count = '{teeth} teeth from the mark of the {from} to that of the {to}.'
