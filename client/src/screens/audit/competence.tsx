/** Who worked on a job, from when to when, and the permits that were valid then. */
import type { Held } from '../../store'
import { CONSOLE } from '../../ledger/entry'
import { dayWords } from '../../work/format'
import { permitName, permitsOn } from '../../work/permits'
import type { JobRecord } from '../../work/record'
import { peopleOf } from '../../work/statements'
import { whoWorked } from '../../work/who-worked'
import { useStatements } from '../office/from-store'
import { namesWords, usePeople } from '../names'
import type { Rooms } from '../rooms'
import * as words from '../../words/en/audit/competence'
import { t } from '../../words/message'

export function Competence({ record, ...rooms }: Rooms & { record: JobRecord }) {
  const statements = useStatements(rooms)
  const people = usePeople(rooms)
  if (statements === null) return null
  return (
    <section>
      <h2 class="phase-head">{t(words.title)}</h2>
      <ul class="plain-list">
        {whoWorked(record.held).map(({ person, from, to }) => (
          <li key={person}>
            <b>
              {t(words.line, {
                who: namesWords([person], people),
                role: roleOf(statements, person),
                first: from === to,
                from: dayWords(from),
                to: dayWords(to),
              })}
            </b>
            <Permits statements={statements} person={person} day={from} />
            {from !== to && <Permits statements={statements} person={person} day={to} />}
          </li>
        ))}
      </ul>
      <p class="d-small">{t(words.means)}</p>
    </section>
  )
}

function Permits({ statements, person, day }: { statements: readonly Held[]; person: string; day: string }) {
  const permits = permitsOn(statements, person, day)
  if (person === CONSOLE) return null
  const named = [...new Set(permits.map(({ permit }) => permitName(permit)))].join(', ')
  return (
    <p>
      {permits.length === 0
        ? t(words.noPermits, { day: dayWords(day) })
        : t(words.permits, { day: dayWords(day), permits: named })}
    </p>
  )
}

function roleOf(statements: readonly Held[], person: string): string {
  if (person === CONSOLE) return t(words.roles.console)
  const known = peopleOf(statements, '').find((one) => one.person === person)
  return known ? t(words.roles[known.role]) : t(words.noRole)
}
