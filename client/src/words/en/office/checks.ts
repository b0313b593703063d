/** What `screens/office/checks.tsx` says. */

export const noneYet = 'None yet. It may not measure before it has been checked.'
export const goodUntil =
  '{on}, good until {due}, {isNamed, select, true {certificate {certificate}} other {no certificate named}}'
export const certificateOf = 'certificate {tool} {on}'
export const found =
  '{on}, found {isGood, select, true {within its limits} other {outside of its limits}}: {points}, {isNamed, select, true {certificate {certificate}} other {no certificate named}}'
