/** What `screens/bench/pictures.tsx` says. */

export const pictures = 'Pictures'
export const means =
  'They travel with the procedure when their names stand under assets in the text: JPEG, PNG or WebP, named in small letters.'
export const takeOut = 'Take out'
export const putIn = 'Put a picture in'
