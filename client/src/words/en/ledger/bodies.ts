/**
 * What `ledger/bodies` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const badBodyHint = 'The writer is not one of ours, or its program is damaged: update it.'
