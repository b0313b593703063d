/** What `screens/office/document.tsx` says. */

export const save = 'Save {name} ({size})'
export const altered = 'The file that came is not the one that was stated.'
export const alteredHint = 'Nothing was saved. Run `scrub` at the workshop, and take the file from a backup.'
