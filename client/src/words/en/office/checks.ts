/** What `screens/office/checks.tsx` says. */

export const noneYet = 'None yet. It may not measure before it has been checked.'
export const noCertificateNamed = ', no certificate named'
export const certificate = ', certificate {certificate}'
export const goodUntil = '{on}, good until {due}{certificate}'
