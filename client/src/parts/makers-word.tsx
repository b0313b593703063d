/** A maker's word in place of a house rule: what he asks for at once, the rest one touch away. */
import type { RuleByWord } from '../work/makers-words'
import { capital } from '../work/letters'
import * as words from '../words/en/parts/makers-word'
import { t } from '../words/message'

/** `isOpen`: with all of it in sight, where there is room and somebody who decides. */
export function MakersWord({ rule, isOpen = false }: { rule: RuleByWord; isOpen?: boolean }) {
  const { says, why, source, never, because } = rule.instead
  return (
    <details class="makers-word" open={isOpen}>
      <summary>
        <b>{t(words.makerSaysOtherwise)}</b> {says} <u>{t(words.source)}</u>
      </summary>
      <dl>
        <dt>{t(words.why)}</dt>
        <dd>{why}</dd>
        <dt>{t(words.holdsHere)}</dt>
        <dd>{t(words.neverBecause, { never: rule.never, because: rule.because })}</dd>
        <dt>{t(words.houseRule)}</dt>
        <dd>{t(words.neverBecause, { never, because: capital(because) })}</dd>
        <dt>{t(words.source)}</dt>
        <dd>{t(words.documentAndPage, { ...source })}</dd>
      </dl>
    </details>
  )
}
