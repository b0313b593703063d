/** What `screens/audit/bag.tsx` says. */

export const title = 'Take the evidence away'
export const discloseAsWell = 'Disclose as well'
export const vinAndPlate = 'VIN and plate'
export const namesAndWords = 'names, words and signatures'
export const originalPhotos = 'photos as they were taken, with all that is in the files'
export const packing = 'The bag is being packed'
export const takeBag = 'Take the bag away'
export const howToVerify = 'Check it on any machine, without this server:'
export const verifyCommand = 'twoturns verify {name} --key {workshop}'
