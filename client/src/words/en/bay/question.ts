/** What `screens/bay/question.tsx` says. */

export const alreadyAnswered = 'This question is answered'
export const answerOn = 'Answer on {number}'
export const answerIsKept = 'The answer is kept.'
export const step = 'a step'
export const ownerAsksAbout = 'The owner asks about {number}'
export const later = 'later'
export const answerWithAPhoto = 'Answer with a photo'
export const answer = 'Answer'
export const wordsMissing =
  'The words of the question are not on this phone yet. They come with the next signal.'
export const aboutPhoto = 'About the photo “{photo}”.'
export const lookAtPhoto = 'Look at the photo'
export const answerInWords = 'Answer in words'
export const priceFirst = 'its price is shown first'
export const photoAsWell = 'And a photo with these words'
export const doTheStepAgain = 'Do the step again'
