/** A word in place of a house rule, the maker's or the workshop's: what it asks for at once, the rest one touch away. */
import type { RuleByWord } from '../work/makers-words'
import { capital } from '../work/letters'
import * as words from '../words/en/parts/makers-word'
import { t } from '../words/message'

/** What the machine holds and what not, which no author writes: it stands where his words are read. */
function Facts({ label, facts }: { label: string; facts: readonly string[] }) {
  if (facts.length === 0) return null
  return (
    <span class="makers-facts">
      <b>{label}</b> {facts.map(sentence).join(' ')}
    </span>
  )
}

const sentence = (fact: string): string => t(words.sentence, { fact: capital(fact) })

/** `isOpen`: with all of it in sight, where there is room and somebody who decides. */
export function MakersWord({ rule, isOpen = false }: { rule: RuleByWord; isOpen?: boolean }) {
  const { whose, holds, gone, says, why, source, never, because } = rule.instead
  return (
    <details class="makers-word" open={isOpen}>
      <summary>
        <b>{t(words.otherwise, { whose: whose ?? 'maker' })}</b> {says}
        <Facts label={t(words.asked)} facts={holds} />
        <Facts label={t(words.gone)} facts={gone} />
        <u>{t(words.source)}</u>
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
