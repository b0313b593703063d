/** What `screens/bay/act.ts` says. */

export const notKept = 'The last act was not kept. Everything before it was.'
export const notKeptHint = 'Do it again. ({error})'
