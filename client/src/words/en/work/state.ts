/**
 * What `work/state` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const beforeAnyWork = 'Before any work'
export const holds = 'holds'
export const passedBy = 'passed by'
export const stepsHold = '{held} of {steps} steps hold'
export const edition = '{name}, edition {edition}'
