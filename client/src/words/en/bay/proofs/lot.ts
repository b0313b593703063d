/** What `screens/bay/proofs/lot.tsx` says. */

export const pointAtLabel = 'Point at the code on the label. What it says is shown before it is kept.'
export const noLotYet = 'No lot yet'
export const notThisLot = 'Not this lot'
export const recalled = 'Lot {lot} is recalled.'
export const recalledHint = '{recalled} Take another part.'
export const lotOnTheLabel = 'Lot on the label'
