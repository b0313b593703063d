/** What `screens/record/answered.tsx` says. */

export const title = '{n, plural, one {An answer to be read} other {# answers to be read}}'
export const about = 'About {step}'
export const withAPhoto = 'Answered with a photo: it stands at the step.'
