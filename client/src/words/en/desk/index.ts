/** What `screens/desk/index.tsx` says. */

export const pages = {
  eyes: 'Eyes first',
  today: 'Today',
  calls: 'Calls',
  jobs: 'Jobs',
  photos: 'Photos',
  due: 'Due',
  tools: 'Tools',
  sets: 'Sets',
  lots: 'Lots',
  people: 'People',
  figures: 'Figures',
  held: 'Held back',
  procedures: 'Procedures',
  erasing: 'Erasing',
  audits: 'Audits',
} as const
export const lastHeardOf = 'Last heard of'
