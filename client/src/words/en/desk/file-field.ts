/** What `screens/desk/file-field.tsx` says. */

export const wrongType =
  '{isPicture, select, true {A picture is asked for: a JPEG, PNG or WebP file.} other {A PDF or a picture (JPEG, PNG, WebP) is asked for.}} Choose another file.'
export const empty = 'This file is empty. Choose another one.'
export const tooLarge = 'This file has {size}; at most {most} are taken. Scan it smaller.'
