/** What `work/dial-unit.ts` says. */

export const milesAlone = '{miles, number} miles'
export const miles = '{miles, number} miles ({km, number} km)'
