/** What `work/statements.ts` says. */

export const neverChecked = 'never checked'
export const itsCheckWasDueYesterday = 'its check was due yesterday'
export const itsCheckWasDueDaysAgo = 'its check was due {left} days ago'
export const itsCheckIsDueToday = 'its check is due today'
export const itsCheckIsDueTomorrow = 'its check is due tomorrow'
export const itsCheckIsDueInDays = 'its check is due in {left} days'
