/** What `screens/bench/findings.tsx` says. */

export const line = 'Line {line}'
export const ofBlock = '(line {line} of the block {block})'
export const play =
  '{n, plural, one {Play the # deed that leads there} other {Play the # deeds that lead there}}'
export const notes =
  '{n, plural, one {# note} other {# notes}} that {n, plural, one {is no fault} other {are no faults}}'
