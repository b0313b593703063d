/** What `screens/bay/cautions.tsx` says. */

export const beforeAnyWork = 'Before any work'
