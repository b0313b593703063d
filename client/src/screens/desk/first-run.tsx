/** For a workshop that has just begun: what is there, and the next thing to do. It goes once all of it is there. */
import type { DeskAnswer } from '../../ledger/answers'
import { firstRun, nextNeed, type Need } from '../../work/first-run'
import { useAsked } from '../office/from-server'
import { useStatements } from '../office/from-store'
import type { Rooms } from '../rooms'
import { Seal } from '../../parts/seal'
import * as says from '../../words/en/desk/first-run'
import { t } from '../../words/message'

const WHERE: Record<Need, string | null> = {
  procedure: '#/desk/procedures',
  tool: '#/desk/tools',
  check: '#/desk/tools',
  mechanic: '#/desk/people',
  joined: '#/desk/people',
  job: '#/bay',
  backup: null,
}

export function FirstRun(rooms: Rooms) {
  const statements = useStatements(rooms)
  const desk = useAsked<DeskAnswer>(rooms, '/api/desk?most=1')
  if (statements === null || !desk?.ok) return null
  const { jobs, backed_up: backedUp, size } = desk.value
  const around = { hasJob: jobs.length > 0, hasBackup: backedUp > 0 || size === 0 }
  const steps = firstRun(statements, around, new Date().toISOString())
  const next = nextNeed(steps)
  if (next === null) return null
  const where = WHERE[next]
  return (
    <section>
      <h2 class="phase-head">{t(says.nextToDo)}</h2>
      <p class="d-text">
        {where === null ? (
          <b>{t(says.now[next])}</b>
        ) : (
          <a class="beside-job" href={where}>
            {t(says.now[next])}
          </a>
        )}
      </p>
      <p class="d-text">{t(says.because[next])}</p>
      <ol class="first-run">
        {steps.map(({ need, isDone }) => (
          <li key={need}>
            <Seal state={isDone ? 'holds' : need === next ? 'now' : 'todo'} size={26} />
            {t(says.what[need])}
          </li>
        ))}
      </ol>
    </section>
  )
}
