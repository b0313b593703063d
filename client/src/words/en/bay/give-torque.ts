/** What `screens/bay/give-torque.tsx` says. */

export const wrenchUnfitHint = 'Take another wrench, or take the adaptor off.'
