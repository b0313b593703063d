/** The checks of a tool, newest first. */
import { dayWords } from '../../work/format'
import type { ToolRow } from '../../work/statements'
import * as words from '../../words/en/office/checks'
import { t } from '../../words/message'

export function Checks({ checks }: { checks: ToolRow['checks'] }) {
  if (checks.length === 0) return <p class="d-text">{t(words.noneYet)}</p>
  return (
    <ul class="plain-list">
      {[...checks].reverse().map(({ on, due, certificate }) => (
        <li key={`${on} ${due}`}>
          {t(words.goodUntil, {
            on: dayWords(on),
            due: dayWords(due),
            isNamed: certificate !== undefined,
            certificate: certificate ?? '',
          })}
        </li>
      ))}
    </ul>
  )
}
