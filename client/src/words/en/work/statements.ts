/** What `work/statements.ts` says. */

export const foundOut = 'found out on {on}, not trusted until a good check'
export const neverChecked = 'never checked'
export const dueYesterday = 'its check was due yesterday'
export const dueDaysAgo = 'its check was due {left} days ago'
export const dueToday = 'its check is due today'
export const dueTomorrow = 'its check is due tomorrow'
export const dueInDays = 'its check is due in {left} days'
