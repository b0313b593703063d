/** What `work/hours-here.ts` says. */

export const noHours =
  'no finished job of this kind {of, select, workshop {in the workshop} other {is here}} yet: how long it takes is not known'
export const hours =
  '{hours, number, ::.0} h, the middle of {n, plural, one {one finished job} other {# finished jobs}} {of, select, workshop {of this workshop} other {that are here}}'
