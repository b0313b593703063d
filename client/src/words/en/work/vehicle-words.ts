/** What `work/vehicle-words.ts` says. */

export const plateNotHere = 'plate not here'
