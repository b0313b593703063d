/** What `screens/bay/enquiry/choices.tsx` says. */

export const chooseAbove = 'Choose above'
export const askTheCaller = 'ask the caller'
export const onward = 'Go on'
export const whatWasNoticed = 'What was noticed?'
export const noticed = '{n} noticed'
export const nothing = 'Nothing of it'
export const whatIsItLike = 'What is it like there?'
export const soItIs = 'So it is there'
export const noneOfThese = 'None of these'
export const howIsItUsed = 'How is it used?'
export const isItDue = 'is it due?'
export const intervalOfProcedure =
  'By the procedure a belt lasts {months} months or {km, number} km. What hard use takes off is the maker’s to say: these two are common.'
export const makerSaysHowMuch = 'What hard use takes off is the maker’s to say: these two are common.'
