/** What `screens/audit/take.tsx` says. */

export const title = 'Take the evidence away'
export const photos = 'Photos'
export const originals =
  'originals: the bytes that were signed, with all that is in the files, also where they were taken'
export const copies =
  'copies without position: to look at. A copy is not proven: its bytes are not those that were signed'
export const leaves = 'What else leaves the workshop'
export const vinAndPlate = 'VIN and plate'
export const namesAndWords = 'names, telephone, words and signatures'
export const papers = 'papers: certificates of the tools, permits of the persons'
export const chosen =
  '{bags, plural, one {One bag} other {# bags in one file}} with {photos, select, originals {the original photos} other {copies of photos, which are not proven}}; {vin, select, true {with} other {without}} VIN and plate; {notes, select, true {with} other {without}} names and words{papers, select, true {, with the papers of tools and persons} other {}}.'
export const packing = '{bags, plural, one {The bag is being packed} other {The bags are being packed}}'
export const take = '{bags, plural, one {Take the bag away} other {Take the # bags away}}'
export const howToVerify = 'Check it on any machine, without this server:'
export const verifyCommand = 'twoturns verify {name} --key {workshop}'
export const orPage = 'Or in a browser, also without a line: {page}. Save it once as a file.'
export const thePage = 'the page that checks bags'
