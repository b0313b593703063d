/** What `work/found-sentences.ts` says. */

export const notNoted = 'It was seen, and nobody has noted what becomes of it.'
export const found = '{place}{isOffered, select, true {: {offered}} other {}}'
export const agreedSince =
  'The customer said yes to it after they signed for the vehicle, and has said nothing since.'
