/** What `screens/desk/measured.tsx` says. */

export const engine = 'Code of the engine'
export const engineHint = 'Such as PL-8.'
export const engineUnfit = 'Write letters and digits, 64 at most, as they stand on the engine: such as PL-8.'
export const belt = 'Teeth of the belt, and mm from one to the next'
export const beltHint = 'Such as 96x8.'
export const beltMissing = 'Write its teeth, and mm from one to the next: such as 96x8.'
export const wheels = 'Wheels, a line each'
export const wheelsHint =
  'As the belt runs, the crankshaft first: crank:0,0:20t is its name, mm to the right and up from the crankshaft, and its teeth. A smooth one has its diameter, idler:40,90:60mm; the tensioner its throw as well, tensioner:-34,130:60mm:throw8.'
export const wheelsTooFew = 'Write two wheels at least, a line each, the crankshaft first.'
export const turns = 'The crankshaft turns'
export const clockwise = 'clockwise, seen from the belt'
export const anticlockwise = 'anticlockwise, seen from the belt'
export const blocks = 'Work that is the same on every car'
