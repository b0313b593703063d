/** What the hold that gives a step's last proof seals beside it: nobody signs for what is not shown. */
import type { ProofProps } from './props'
import * as words from '../../../words/en/bay/proofs/sealed-with'
import { t } from '../../../words/message'

export const SealedWith = ({ paints, given }: Pick<ProofProps, 'paints' | 'given'>) =>
  paints && given.length > 0 ? <p>{t(words.sealedWith, { given: given.join('; ') })}</p> : null
