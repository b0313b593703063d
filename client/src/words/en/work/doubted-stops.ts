/** What `work/doubted-stops.ts` says. */

export const toolFoundOut = '{tool} was found out'
export const because = 'At a check on {on}: {off}.'
export const hint =
  'Done with it in this job: {what}. Call the owner before the next step. Each is to be done again with a good tool, as the maker says: a stretch bolt or a nut that is used once is a new one then.'
export const what =
  '{where}, {value}{isKnown, select, true { was really {actual}} other {: its setting was not checked}}'
