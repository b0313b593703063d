/** What `work/closing.ts` says. */

export const isToDo = '{step} is to do'
export const toolStillIn = 'Still in the engine bay: {toolLabel}'
export const isOut = '{toolLabel} is out'
export const step = 'a step'
export const ownerAsksAbout = 'The owner asks about {step}'
export const ownerAsks = 'the owner asks'
export const notSure = 'Not sure: {condition}'
export const lookFirst = 'look first'
export const lotIsRecalled = 'Lot {lot} is recalled: {found}'
export const recalledInside = 'a recalled part is in it'
export const findingOpen = '{place}: {state}'
export const agreedToDo = 'the customer said yes to more work'
