/** What `screens/paper/index.tsx` says. */

export const papers = 'Papers of this job'
export const back = 'Back'
export const sheet = 'Hand-over sheet'
export const sticker = 'Change sticker'
export const tag = 'Old-parts tag'
export const coolant = 'Waste-coolant note'
export const invoice = 'Facts for the invoice'
export const reading = 'Reading the job.'
export const size = 'Size'
export const print = 'Print'
export const noPrinter = 'No printer here? The print dialogue also writes a PDF, which can be sent.'
export const cannotPrint =
  'This browser cannot print. Nothing is lost: open the job in the browser of the phone, or at the desk, and print it there.'
