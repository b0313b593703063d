/** What `work/found-sentences.ts` says. */

export const notNoted = 'It was seen, and nobody has noted what becomes of it.'
export const found = '{place}{isOffered, select, true {: {offered}} other {}}'
