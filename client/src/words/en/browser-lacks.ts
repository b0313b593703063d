/** What `screens/browser-lacks.tsx` says. */

export const whatThisBrowserLacks = 'What this browser lacks'
export const thisBrowserLacks = 'This browser lacks:'
