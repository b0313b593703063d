/**
 * What `ledger/instants` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const instant = '{day} {time} UTC'
