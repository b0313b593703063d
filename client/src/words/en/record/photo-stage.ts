/** What `screens/record/photo-stage.tsx` says. */

export const stage =
  '{label}. Plus and minus draw it larger and smaller, 1 is full size, 0 all of it, the arrows with Shift move it.'
export const larger = 'Larger'
export const smaller = 'Smaller'
export const fullSize = 'Full size'
export const whole = 'All of it'
export const shownAt = '{percent} % of its pixels'
