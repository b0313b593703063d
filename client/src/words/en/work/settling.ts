/** How a finding is settled, in the bay and at the desk. */

export const ends = {
  done: 'It is put right',
  dropped: 'It is none, or asks for nothing',
} as const
