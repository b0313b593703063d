import { Sign } from '../../parts/signs'
import * as words from '../../words/en/work/state'
import { t } from '../../words/message'

/** What the procedure's author says before all work: whose data come first, and where this work must not be done. */
export function Cautions({ cautions }: { cautions: readonly string[] }) {
  if (cautions.length === 0) return null
  return (
    <section class="caution" aria-label={t(words.beforeAnyWork)}>
      <Sign name="warning" size={36} />
      <ul class="cautions">
        {cautions.map((says) => (
          <li>{says}</li>
        ))}
      </ul>
    </section>
  )
}
