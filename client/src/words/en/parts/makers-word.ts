/** What `parts/makers-word.tsx` says. */

export const makerSaysOtherwise = 'The maker says otherwise:'
export const why = 'Why'
export const holdsHere = 'Holds here'
export const houseRule = 'In place of'
export const source = 'Source'
export const neverBecause = 'Never: {never}. {because}'
export const documentAndPage = '{document}, edition {edition}, {page}, {date}'
