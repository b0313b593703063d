/** What is said of a customer's word, in the bay and at the desk. */

export const answers = { yes: 'Yes, do it', no: 'No, leave it' } as const
export const before = 'So far: {said} What is kept now takes its place.'
export const howItCame = 'How it came'
export const inTheirWords = 'In their words, where they matter'
