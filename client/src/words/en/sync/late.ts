/** What `sync/late.ts` says. */

export const missing = 'The part of the app that sends is not on this device yet.'
export const missingHint =
  'What was shown as on this phone is still on it. It is fetched by itself when there is a signal. If that does not help, open the app anew there.'
