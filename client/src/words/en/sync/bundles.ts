/** What `sync/bundles.ts` says. */

export const bundleWithdrawn = 'This procedure was withdrawn: {because}'
export const bundleWithdrawnHint = 'Choose another edition, or ask the owner.'
