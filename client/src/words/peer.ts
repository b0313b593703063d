/** What the differential tests call in this room: the server's twin says the same. */
import type { PeerFunctions } from '../peer'
import { filled, languageOf, parse } from './message'

export const peerFunctions: PeerFunctions = {
  format_message: (locale: string, message: string, args: Record<string, unknown>) =>
    filled<string>(languageOf(locale), parse(message), args).join(''),
}
