/** What `work/format.ts` says. */

export const inThisBrowserOnly = 'in this browser only'
export const moment = '{day} {hour} {zone}'
export const utc = 'UTC'
export const zone = 'UTC{isAhead, select, true {+} other {-}}{hours}:{minutes}'
export const hour = '{time} UTC'
export const day = '{day, date, medium}'
export const megabytes = '{mb, number, ::.0} MB'
export const kilobytes = '{kb, number} kB'
export const km = '{km, number} km'
