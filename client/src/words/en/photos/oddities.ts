/** What `screens/photos/oddities.ts` says. */

export const damaged = 'Altered or missing in the workshop'
export const picked = 'Picked, not taken in the app'
