/** What `screens/bay/not-kept.tsx` says. */

export const typed =
  'Typed on {at, date, medium} at {at, time, short}, on this phone only. It is not kept yet.'
