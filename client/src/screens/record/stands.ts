/** How an entry stands, in words, wherever it is shown. */
import type { Held } from '../../store'
import * as says from '../../words/en/record/stands'
import { t } from '../../words/message'

export const STANDS: Record<Held['standing'], string> = {
  good: t(says.good),
  gap: t(says.gapBefore),
  doubted: t(says.notAllowed),
  forked: t(says.existsTwice),
}
