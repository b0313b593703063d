/** What `work/shown.ts` says. */

export const places = {
  phone: 'on this phone',
  workshop: 'in the workshop',
  backup: 'backed up',
} as const
