/** What `screens/audit/bag.tsx` says. */

export const takeTheEvidenceAway = 'Take the evidence away'
export const discloseAsWell = 'Disclose as well'
export const vinAndPlate = 'VIN and plate'
export const namesWordsAndSignatures = 'names, words and signatures'
export const photosAsTheyWereTaken = 'photos as they were taken, with all that is in the files'
export const bagIsBeingPacked = 'The bag is being packed'
export const takeTheBagAway = 'Take the bag away'
export const checkItOnAnyMachine = 'Check it on any machine, without this server:'
export const twoturnsVerifyKey = 'twoturns verify {name} --key {workshop}'
