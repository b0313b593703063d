/** What `screens/bay/found/new-finding.tsx` says. */

export const usual = {
  leak: 'Oil or coolant where none should be',
  worn: 'Worn, loose or noisy',
  broken: 'Broken, cracked or stripped',
  seized: 'Seized, does not move freely',
  limit: 'At its limit: tyre, brake, hose',
} as const
export const whatWasFound = 'What was found?'
export const noteIt = 'Note what was found'
export const inYourWords = 'In your words'
export const photoOf = 'What was found at {number}'
export const keepIt = 'Keep the finding'
export const isKept = 'The finding is kept. Ask the customer.'
export const offered =
  'The work goes on. Noted, it stays in sight until the customer has decided and it is settled.'
