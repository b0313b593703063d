/** What `screens/desk/procedures.tsx` says. */

export const readingTheProcedures = 'Reading the procedures.'
export const procedures = 'Procedures'
export const nonePublished =
  "None is published yet. Write one here, or on the workshop's computer: twoturns procedure publish FOLDER."
export const engines = 'Engines'
export const noneNamed = 'none named'
export const published = 'Published'
export const sha256 = 'SHA-256'
export const asksOfPhone =
  'The straight job asks for {touches, plural, one {# touch} other {# touches}}, {holds, plural, one {# hold} other {# holds}} and {photos, plural, one {# photo} other {# photos}}'
export const typedAndWaited =
  'Typed: {characters, plural, one {# character} other {# characters}}. Waited: {minutes, plural, one {# minute} other {# minutes}}.'
export const heaviest = 'The heaviest steps, by touches, holds and characters:'
export const heavyStep = '{number} {title}: {hand}'
export const withdrawn = 'Withdrawn: {withdrawn}'
export const withdraw = 'Withdraw'
export const withdrawEdition = 'Withdraw {name}, edition {edition}'
export const withdrawIt = 'Withdraw it'
export const withdrawMeans =
  'No new job is opened by it. Every job that went by it shows the reason, and an open one stops at it. There is no way back: a corrected edition is published.'
export const staysInLedger = 'It stays in the ledger for everybody.'
