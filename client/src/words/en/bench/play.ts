/** What `screens/bench/play.tsx` says. */

export const theWayThere = 'The shortest way there'
export const back = 'Before it'
export const next = 'After it'
export const thePhone = 'The phone again'
export const atTheStart = 'The engine as it comes in.'
export const deedOf = 'After {at} of {all}.'
