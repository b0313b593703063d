/** What `screens/record/notices.tsx` says. */

export const stated = 'What the workshop has stated against it'
export const settledBy = 'Settled by {who} at {at}: {because}'
export const cameSince = 'Something came in that this word had not seen: it stands again.'
