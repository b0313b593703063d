/** What the page says before a script runs, and what a phone is told of the app that it installs. */

export const name = 'Two Turns'
export const whatItIs = 'Evidence and order of work for the timing-belt job'
export const needsScript = 'Two Turns needs JavaScript: without it nothing can be signed or kept.'
