/** What `screens/photos/take.tsx` says. */

export const title = 'Take photos away'
export const chooseFirst = 'Mark the photos to take along.'
export const disclose = 'In the file, beside the record'
export const wishes = {
  vin: 'VIN and plate',
  notes: 'names, words and signatures',
  papers: 'certificates of the tools, permits of the persons',
  originals: 'the photos as they were taken, with all that is in the files (a place, too)',
} as const
export const copiesProveNothing =
  'Copies are smaller and carry no place; their bytes are not those that were signed, so a copy is not proven.'
export const take =
  '{photos, plural, one {Take # photo} other {Take # photos}} of {jobs, plural, one {# job} other {# jobs}}'
export const packing = 'Packing'
export const whatItIs =
  'One file: an evidence bag for each job, with its whole record. Of its photos only those that are marked go along; the others are listed as left behind.'
export const fileName = 'two-turns-photos-{day}.zip'
