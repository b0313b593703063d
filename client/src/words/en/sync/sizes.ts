/** What `sync/sizes.ts` says. */

export const kilobytes = '{kb, number} kB'
export const megabytes = '{mb, number, ::.0} MB'
export const wholeMegabytes = '{mb, number} MB'
