/** What `screens/record/stands.ts` says. */

export const good = 'good'
export const gapBefore = 'something before it is missing'
export const notAllowed = 'by a device that may not write it'
export const existsTwice = 'exists twice'
