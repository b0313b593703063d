/** What `screens/office/shell.tsx` says. */

export const desk = 'The desk'
export const auditorsView = "The auditor's view"
export const atTheEngine = 'At the engine'
export const twoTurns = 'Two Turns'
export const pages = 'Pages'
export const signOut = 'Sign out'
export const licences = 'Licences'
export const dealtWith = 'It has been dealt with'
