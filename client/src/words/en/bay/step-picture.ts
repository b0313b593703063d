/** What `screens/bay/step-picture.tsx` says. */

export const picture = 'A picture of the step'
export const notHere = 'The picture of this step has not come to this phone yet. The words hold without it.'
