/** What `main.tsx` says. */

export const insecureAddress = 'Two Turns cannot run under this address: the line to it is not secure.'
export const insecureAddressHint =
  'Open it by its https address. On the workshop’s own computer, localhost works too.'
