/** What `screens/bay/enquiry/advice.tsx` says. */

export const toldSo = 'It was told so'
export const goOn = 'Go on'
export const whoCalls = 'who calls?'
export const othersComeFirst =
  'Common practice, seen from a telephone. The vehicle maker’s data, local rules, the emergency services and people trained for it come first.'
