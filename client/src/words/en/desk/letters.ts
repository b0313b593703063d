/** What `screens/desk/letters.tsx` says. */

export const letters = '{n, plural, one {A letter} other {# letters}}'
export const letterhead = 'Address and telephone, as they stand above each letter'
export const letterheadLike = 'Street, town, telephone'
export const print = 'Print {n, plural, one {it} other {all #}}'
export const back = 'Back to the list'
export const ownerOf = 'To the owner of {plate}'
export const recallSubject = 'Your vehicle {plate}: a part is recalled'
export const wrenchSubject = 'Your vehicle {plate}: please let us check our work'
export const weFitted =
  'In the job that began on {done}{hasKm, select, true {, at {km},} other {}} we fitted this part in your engine:'
export const weTightened =
  'In the job that began on {done}{hasKm, select, true {, at {km},} other {}} {isTorque, select, true {we tightened these fasteners of your engine} other {we measured this at your engine}}:'
export const isRecalled = 'This lot has since been recalled. The reason that was given to us: {because}'
export const wasOff =
  '{isTorque, select, true {The torque wrench {tool} that we did it with} other {What we measured it with, {tool},}} was checked on {on}, and was found to be outside of its limits. {isTorque, select, true {These fasteners may therefore be looser or tighter than they should be.} other {It may therefore not have been as we read it.}}'
export const dangerOfLot =
  'If this part fails while the engine runs, the engine can stop and be badly damaged.'
export const dangerOfTool =
  '{isTorque, select, true {A fastener that is too loose or too tight can come loose or break, and the engine can be badly damaged.} other {Where the work went by a wrong figure, the engine can be damaged.}}'
export const pleaseCall = 'Please call us as soon as you can.'
export const pleaseCallBy = 'Please call us as soon as you can, and before {until}.'
export const weReplace = 'We will find a day with you to replace it.'
export const weCheck = 'We will find a day with you to check them and put them right.'
export const untilThen =
  'Ask us before you drive on. If you hear a new noise from the engine, lose power, or a warning lamp comes on: stop where it is safe, switch the engine off, do not start it again, and call us.'
export const defers =
  'What the maker of your vehicle says of this recall or this work comes before anything in this letter. The work belongs in a qualified workshop that goes by the maker’s data.'
export const signature = 'Yours'
export const reference = 'Reference {matter}; job {job}; VIN {vin}'
export const vinNotHere = 'not here'
