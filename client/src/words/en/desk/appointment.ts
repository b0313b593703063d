/** What `screens/desk/appointment.tsx` says. */

export const appointment = 'Appointment'
export const notPlanned = 'Nobody is named, and nothing is promised.'
export const whoDoes = '{who} is on it.'
export const alsoPlanned =
  '{who} was planned at the same time{isPromised, select, true {, {promised}} other {}}: who planned did not know of it.'
export const planIt = 'Say who and when'
export const keepIt = 'Keep it'
export const who = 'Who does it'
export const nobodyYet = 'nobody yet'
export const promisedFor = 'Promised for'
export const goOn = 'It goes on'
export const parkIt = 'Park it'
export const why = 'Why it rests'
