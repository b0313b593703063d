/** What `screens/bay/found/show-with.tsx` says. */

export const takeThePhoto = 'Take the photo'
export const withAPhoto = 'With a photo, after all'
export const withoutAPhoto = 'Words alone, without a photo'
export const photoOrWords = 'A photo, words, or both: one of them there must be.'
