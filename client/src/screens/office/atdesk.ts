/** The store is one and the same everywhere, and speaks of a phone. A desk may be any device. */
import type { Trouble } from '../../store'

export const ofDevice = (text: string) =>
  text.replaceAll('this phone', 'this device').replaceAll('This phone', 'This device')

export const atDesk = (trouble: Trouble): Trouble => ({
  ...trouble,
  message: ofDevice(trouble.message),
  hint: ofDevice(trouble.hint),
})
