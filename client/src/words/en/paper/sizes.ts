/** What `screens/paper/sizes.ts` says. */

export const a4 = 'A4'
export const a6 = 'A6'
export const a7 = 'A7'
export const phone = 'as on a phone'
export const label = 'label {width} × {height} mm'
