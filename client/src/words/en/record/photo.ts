/** What `screens/record/photo.tsx` says. */

export const workshopsComputer = 'the workshop’s computer'
export const owner = 'an owner'
export const coming = 'coming'
export const photoNamed = '{label}{isEarlier, select, true {, before it was taken again} other {}}'
export const openFullSize = '. Open full size'
