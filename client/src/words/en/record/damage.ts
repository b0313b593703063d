/** What `screens/record/damage.tsx` says. */

export const faults = {
  altered: 'was altered on the workshop’s disk',
  missing: 'is missing on the workshop’s disk',
  mistyped: 'is not the kind of image that its entry calls it',
  misshown: 'was shown small as something else',
} as const
export const whatToDo = {
  altered:
    'It is not shown and leaves in no bag. Bring the phone that took it near the workshop, or put it back from a backup: twoturns scrub --from.',
  missing:
    'No bag can be made of its job. Bring the phone that took it near the workshop, or put it back from a backup: twoturns scrub --from.',
  mistyped: 'Its bytes are kept as they are. Ask who took it.',
  misshown:
    'The photo itself is whole, and its small copy was made anew. Somebody wrote in the workshop’s folder: find out who can.',
} as const
export const the = 'The {what}{label}'
export const ofStep = '{what} of step {step}'
export const job = 'the job'
export const found = 'Found {found_at}. {found}'
export const andMore = 'And more: twoturns scrub names them all.'
