/** What `screens/bay/proofs/pluck-ear.ts` says. */

export const left = 'The microphone was closed while another page was shown.'
export const leftHint = 'Begin again, and leave this page open.'
