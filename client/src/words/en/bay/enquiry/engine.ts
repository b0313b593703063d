/** What `screens/bay/enquiry/engine.tsx` says. */

export const engineCode = 'The engine’s code, if the papers say it'
export const notKnown = 'Not known'
export const anotherOrUnknown = 'Another, or nobody knows'
