/**
 * What `ledger/base64url` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const base64urlOfSize = '{size} bytes in base64url'
export const notBase64url = '{text} is not {wanted} without padding'
export const notBase64urlHint = 'Send the text again as it was made; nothing was cut off or added to it.'
export const otherText = '{text} is not {wanted}'
