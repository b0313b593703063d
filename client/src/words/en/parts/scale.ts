/** What `parts/scale.tsx` says. */

export const any = 'any'
export const windowTo = '{readings}Window {low} to {high} {unit}'
