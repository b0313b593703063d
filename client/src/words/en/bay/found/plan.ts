/** What `screens/bay/found/plan.tsx` says. */

export const whoAndWhen = 'Who does it, by when?'
export const isPlanned = 'It is planned.'
export const isPast = 'That time is past'
export const laterTime = 'promise a later one'
export const nothingSaid = 'Nothing said yet'
export const keepIt = 'Keep the plan'
export const promisedFor = 'Promised for'
export const whoIsOnIt = 'Who is on it'
export const twoPlans =
  'Two planned this job without knowing of each other. What is kept now takes the place of both.'
