/** What `screens/office/find.tsx` says. */

export const plate = 'Plate'
export const lotOfAPart = 'Lot of a part'
export const tool = 'Tool'
export const code = 'Code on a sticker'
export const vinNotHere = 'VIN not here'
export const vinAndLast = '{vin}, last heard of {at}'
export const findBy = 'Find by'
export const find = 'Find'
export const notFound =
  'No job here has that. Look at it letter by letter: 0 and O, 8 and B, 2 and Z look alike.'
