/** What is odd about a photo, in a few words under it. Pure. */
import { advise } from '../../instruments/shot-advice'
import type { Body } from '../../ledger/bodies'
import type { Held } from '../../store'
import { STANDS } from '../record/stands'
import * as says from '../../words/en/photos/oddities'
import { t } from '../../words/message'

interface Seen {
  standing: Held['standing']
  how: Body<'photo.taken'>['how']
  quality: Body<'photo.taken'>['quality']
  isDamaged: boolean
}

export function oddWords({ standing, how, quality, isDamaged }: Seen): string[] {
  const advice = quality && advise(quality)
  return [
    ...(isDamaged ? [t(says.damaged)] : []),
    ...(standing === 'good' ? [] : [STANDS[standing]]),
    ...(how === 'picked' ? [t(says.picked)] : []),
    ...(advice && advice.code !== 'fine' ? [advice.message] : []),
  ]
}
