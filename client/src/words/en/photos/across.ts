/** What `screens/photos/across.tsx` says. */

export const title = 'Photos across jobs'
export const plateNotHere = '{engine}, job {job}, plate not here'
export const asking = 'The workshop is asked.'
export const found =
  '{n, plural, =0 {No photo is like that.} one {# photo, the newest.} other {# photos, the newest first.}}{hasMore, select, true { There are more below.} other {}}'
export const heading =
  '{workshop}: photos as the workshop lists them, {at}{isAsked, select, true {; {asked}} other {}}. Each is proven by its own record, in the evidence bag of its job.'
export const older = 'Older photos'
export const any = 'any'
export const show = 'Show'
export const showAll = 'Show all'
export const sharpness = {
  blurred: 'looks blurred',
  soft: 'may be a little blurred',
  sharp: 'sharp',
  unjudged: 'not judged',
} as const
export const fields = {
  step: 'Step',
  bundle: 'Procedure',
  engine_code: 'Engine code',
  person: 'Person',
  standing: 'How it stands',
  sharp: 'Sharpness, as judged',
  since: 'Received from (UTC)',
  until: 'Received up to (UTC)',
} as const
