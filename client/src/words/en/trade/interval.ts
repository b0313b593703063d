/**
 * What `trade/interval` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const dueByTime = 'It is due: the time was over on {on}.'
export const dueByKm = 'It is due: {km} km were read on {on}, and the limit is {limit} km.'
export const dueByEstimate = 'It is due since about {on}, by what was read: read the odometer now.'
export const runsBackward = 'The odometer runs backward more than once: only the date counts.'
export const readingLeftOut = '{km} km on {on} does not fit between the others: it is left out.'
export const tooManyKm =
  '{now, number} km, and {before, number} km were read on {on}: {km, number} km in {days, plural, one {a day} other {# days}}. Look at both readings.'
export const mayBeMiles = '{km} is {kmPerMile} times {before}: one of them may be miles.'
export const lowerThanBefore = '{km, number} km is less than the {before, number} km that were read on {on}.'
