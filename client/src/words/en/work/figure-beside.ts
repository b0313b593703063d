/** What `work/figure-beside.ts` says. */

export const same = 'the same'
export const apart = '{by} apart'
