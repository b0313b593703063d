/** The store is one and the same everywhere, and speaks of a phone. A desk may be any device. */
import type { Trouble } from '../../store'
import * as words from '../../words/en/office/atdesk'
import { t } from '../../words/message'

export const ofDevice = (text: string) =>
  text
    .replaceAll(t(words.thisPhone), t(words.thisDevice))
    .replaceAll(t(words.thisPhoneFirst), t(words.thisDeviceFirst))

export const atDesk = (trouble: Trouble): Trouble => ({
  ...trouble,
  message: ofDevice(trouble.message),
  hint: ofDevice(trouble.hint),
})
