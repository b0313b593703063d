/** How an entry stands, in words, wherever it is shown. */
import type { Held } from '../../store'
import * as says from '../../words/en/record/stands'
import { wordsOf } from '../../words/message'

export const STANDS: Record<Held['standing'], string> = wordsOf(says.standings)
