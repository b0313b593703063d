/** What `screens/bay/pass-rule.tsx` says. */

export const passTitle = 'Pass this rule by?'
export const whyFirst = 'Why first'
export const thenAPhoto = 'then a photo'
export const it = 'it'
export const goOnWith = 'Go on with {number}'
export const photoComesLast = 'a photo comes last'
export const passedMeans =
  'The step is then done as far as it can be: what it should prove stays unproved. The owner sees the reason and the photo.'
export const whyPassed = 'Why is it passed by?'
export const passPhoto = 'A photo of how it is'
export const passed = 'Passed by, for the owner to see.'
