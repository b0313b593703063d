/** The checks of a tool, newest first. */
import { dayWords } from '../../work/format'
import type { ToolRow } from '../../work/statements'

export function Checks({ checks }: { checks: ToolRow['checks'] }) {
  if (checks.length === 0)
    return <p class="d-text">None yet. It may not measure before it has been checked.</p>
  return (
    <ul class="plain-list">
      {[...checks].reverse().map(({ on, due, certificate }) => (
        <li key={`${on} ${due}`}>
          {dayWords(on)}, good until {dayWords(due)}
          {certificate === undefined ? ', no certificate named' : `, certificate ${certificate}`}
        </li>
      ))}
    </ul>
  )
}
