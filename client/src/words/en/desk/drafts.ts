/** What `screens/desk/drafts.ts` says. */

export const torqueWrench = 'torque wrench'
export const angleGauge = 'angle gauge'
export const feelerBlades = 'feeler blades'
export const pressureTester = 'pressure tester'
export const caliper = 'caliper'
export const thermometer = 'thermometer'
export const refractometer = 'refractometer'
export const voltmeter = 'voltmeter'
export const idMissing = 'Write {what}, as it stands on it.'
export const idTooLong = 'Shorten it to 64 characters; it has {what}.'
export const toolsNumber = "the tool's number"
export const numberTaken =
  '{doubled} is registered already. Give this tool another number, and mark it on the tool.'
export const labelMissing = 'Write what people call it: its shape, or where it hangs.'
export const over200 = 'Shorten it to 200 characters.'
export const lowUnfit = 'Write a number, like 10 or 2.5, or leave it empty.'
export const highUnfit = 'Write a number, like 100 or 2.5, or leave it empty.'
export const rangeSwapped = 'The range ends below where it begins: write more than {low}.'
export const unitTooLong = 'Shorten it to 16 characters.'
export const unitMissing = 'Write what the range is in, like N·m.'
export const checkDayMissing = 'Choose the day it was checked, as it stands on the certificate.'
export const checkDayAhead = 'This day is still to come. Enter the check when it has been made.'
export const dueMissing = 'Choose the day the next check is due.'
export const over64 = 'Shorten it to 64 characters.'
export const dueIsPast =
  'This day is past: the tool would count as not checked. Read the certificate again, or have it checked first.'
export const dueTooFar =
  'This is more than {years} years after the check. Read the year on the certificate again.'
export const dueTooEarly = 'The next check must come after this one.'
export const alreadyRecalled = 'Lot {lot} is recalled already.'
export const lotsNumber = "the lot's number"
export const untilUnfit = 'Choose a day, or leave it empty.'
export const whyMissing = 'Write why. It stays in the ledger for everybody: no names.'
export const whyTooLong = 'Shorten it to 500 characters; it has {what}.'
