/** What `work/format.ts` says. */

export const inThisBrowserOnly = 'in this browser only'
export const moment = '{at, date, medium}, {at, time, short}'
export const hour = '{at, time, short}'
export const day = '{day, date, medium}'
export const megabytes = '{mb, number, ::.0} MB'
export const kilobytes = '{kb, number} kB'
export const km = '{km, number} km'
