/** What `screens/bay/jobs.tsx` says. */

export const procedureMissing = 'its procedure is not on this phone yet'
export const ownerAsks = 'the owner asks {asked, plural, one {something} other {# things}}'
export const closed = 'closed'
export const toBeEnded = 'to be ended: {name}'
export const noWayOn = 'no way on: the owner decides'
export const lotRecalled = 'lot {lot} is recalled: call the owner'
export const allDone = 'all steps are done: close it'
export const at = 'at {bay}'
export const atAndHold = 'at {bay}, {done} of {count} hold'
export const openJobs = '{open} open {open, plural, one {job} other {jobs}}'
export const noOpenJob = 'No open job'
export const thisPhone = 'this phone'
export const openAJob = 'Open a job'
export const withPhotos =
  '{phone, plural, =0 {} one {# entry and } other {# entries and }}{photos, plural, one {# photo} other {# photos}} on this phone'
export const closedJobs = '{closed} closed, to be read'
export const jobs = 'Jobs'
