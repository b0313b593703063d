/** What waits on a screen since before: when it was typed, and that it is not kept. */
import * as words from '../../words/en/bay/not-kept'
import { t } from '../../words/message'

export const sinceWords = (since: string): string => t(words.typed, { at: new Date(since) })

export const NotKept = ({ since }: { since: string | null }) =>
  since === null ? null : <p class="soft">{sinceWords(since)}</p>
