/** What `screens/desk/drafts.ts` says. */

export const torqueWrench = 'torque wrench'
export const angleGauge = 'angle gauge'
export const feelerBlades = 'feeler blades'
export const pressureTester = 'pressure tester'
export const writeAsItStandsOnIt = 'Write {what}, as it stands on it.'
export const shortenItTo64Characters = 'Shorten it to 64 characters; it has {what}.'
export const toolsNumber = "the tool's number"
export const isRegisteredAlreadyGive =
  '{doubled} is registered already. Give this tool another number, and mark it on the tool.'
export const writeWhatPeopleCall = 'Write what people call it: its shape, or where it hangs.'
export const shortenItTo200Characters = 'Shorten it to 200 characters.'
export const writeANumberLike10 = 'Write a number, like 10 or 2.5, or leave it empty.'
export const writeANumberLike100 = 'Write a number, like 100 or 2.5, or leave it empty.'
export const rangeEndsBelowWhere = 'The range ends below where it begins: write more than {low}.'
export const shortenItTo16Characters = 'Shorten it to 16 characters.'
export const writeWhatTheRange = 'Write what the range is in, like N·m.'
export const chooseTheDay = 'Choose the day it was checked, as it stands on the certificate.'
export const thisDayIsStill = 'This day is still to come. Enter the check when it has been made.'
export const chooseTheDayTheNext = 'Choose the day the next check is due.'
export const nextCheckMustComeAfter = 'The next check must come after this one.'
export const lotIsRecalledAlready = 'Lot {lot} is recalled already.'
export const lotsNumber = "the lot's number"
export const writeWhyItStays = 'Write why. It stays in the ledger for everybody: no names.'
export const shortenItTo500Characters = 'Shorten it to 500 characters; it has {what}.'
