/** What `parts/makers-word.tsx` says. */

export const otherwise =
  '{whose, select, workshop {This workshop takes it otherwise:} other {The maker says otherwise:}}'
export const asked = 'Asked for here:'
export const gone = 'No longer asked for:'
export const sentence = '{fact}.'
export const why = 'Why'
export const holdsHere = 'In the words of this procedure'
export const houseRule = 'In place of'
export const source = 'Source'
export const neverBecause = 'Never: {never}. {because}'
export const documentAndPage = '{document}, edition {edition}, {page}, {date}'
