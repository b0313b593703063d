/** What `screens/record/stands.ts` says. */

export const standings = {
  good: 'good',
  gap: 'something before it is missing',
  doubted: 'by a device that may not write it',
  forked: 'exists twice',
} as const
