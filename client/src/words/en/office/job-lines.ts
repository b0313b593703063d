/** What `screens/desk/job-lines.tsx` says. */

export const noCustomer = 'no customer named'
export const plannedFor = 'planned for {name}'
export const nobodyYet = 'nobody yet'
export const lastHeardOf = 'last heard of {at}'
export const olderJobs = 'Older jobs'
