/** What `screens/paper/index.tsx` says. */

export const papers = 'Papers of this job'
export const back = 'Back'
export const names = {
  sheet: 'Hand-over sheet',
  sticker: 'Change sticker',
  tag: 'Old-parts tag',
  coolant: 'Waste-coolant note',
  invoice: 'Facts for the invoice',
} as const
export const reading = 'Reading the job.'
export const size = 'Size'
export const print = 'Print'
export const noPrinter = 'No printer here? The print dialogue also writes a PDF, which can be sent.'
export const cannotPrint =
  'This browser cannot print. Nothing is lost: open the job in the browser of the phone, or at the desk, and print it there.'
