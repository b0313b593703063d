/** Going somewhere at the desk or in the audit. */
import { go } from '../route'

export const goTo = (room: string, page: string, item?: string): void =>
  go(['', room, page, ...(item === undefined ? [] : [encodeURIComponent(item)])].join('/'))
