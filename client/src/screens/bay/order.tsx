/** The order of work, behind the head band: every step with its seal, the ways back, and what else can be done here. */
import { PlainKey, SideKey } from '../../parts/keys'
import { Seal } from '../../parts/seal'
import type { SealState } from '../../work/shown'
import { CallCustomer, CallOwner } from './call'
import { FoundHere } from './found-here'
import { Frame } from './frame'
import { Cautions } from './cautions'
import { RowKey, StepRow } from './rows'
import type { JobNow, StepNow } from '../../work/job'
import { isWorkable } from '../../work/look-up'
import { Recalled } from './recalled'
import type { InJob } from './in-job'
import type { Rooms } from '../rooms'
import { paperPath } from '../paper/address'
import { go } from '../route'
import { goBay } from './nav'
import * as words from '../../words/en/bay/order'
import { t } from '../../words/message'

function noteOf({ open, step, seal }: StepNow, now: JobNow): string | undefined {
  if (now.current?.step.id === step.id) return 'now'
  if (seal === 'holds') return undefined
  if (seal === 'broken') return t(words.toDoAgain)
  return open ? 'open' : undefined
}

/** A phase is one row until it is opened; the one that is now stands open. */
function Phase({
  phase: { name, steps },
  now,
  to,
}: Pick<InJob, 'now' | 'to'> & { phase: JobNow['phases'][number] }) {
  const hold = steps.filter(({ seal }) => seal === 'holds' || seal === 'passed').length
  const isNow = steps.some(({ index }) => index === now.standing?.index)
  const whole: SealState = steps.some(({ seal }) => seal === 'broken')
    ? 'broken'
    : hold === steps.length
      ? 'holds'
      : isNow
        ? 'now'
        : 'todo'
  return (
    <details class="phase" open={isNow}>
      <summary class="row-key">
        <Seal state={whole} size={34} label={name} />
        <span class="row-words">
          <b>{name}</b>
          <small>{t(words.ofHold, { hold, steps: steps.length })}</small>
        </span>
      </summary>
      <ul class="rows" aria-label={name}>
        {steps.map((each) => (
          <StepRow
            number={each.step.number}
            title={each.step.title}
            state={now.standing?.index === each.index && each.seal === 'todo' ? 'now' : each.seal}
            note={noteOf(each, now)}
            onPress={() => to(isWorkable(each, now) ? 'step' : 'read', each.step.id)}
          />
        ))}
      </ul>
    </details>
  )
}

function goOnWords({ current, row }: JobNow): string {
  if (row.end !== null) return t(words.howItEnded)
  return current ? t(words.goOnWith, { number: current.step.number || t(words.it) }) : t(words.goOn)
}

/** One of the ways on from here, by name. */
const Way = ({ says, onPress }: { says: string; onPress: () => void }) => (
  <RowKey onPress={onPress}>
    <b>{says}</b>
  </RowKey>
)

export function Order({ now, head, to, onward, store, sync }: InJob & Pick<Rooms, 'sync'>) {
  const isOpen = now.row.end === null
  return (
    <Frame
      title={t(words.orderOfWork)}
      side={<SideKey icon="lines" label={t(words.allJobs)} onPress={() => goBay()} />}
      main={<PlainKey label={goOnWords(now)} note={now.ending?.name ?? head.job} onPress={onward} />}
    >
      <Recalled now={now} />
      <FoundHere now={now} to={to} store={store} sync={sync} />
      <ul class="fours" aria-label={t(words.thisJob)}>
        <RowKey
          onPress={() => to('tools')}
          note={now.toolsOut.length ? t(words.out, { toolsOut: now.toolsOut.length }) : t(words.allOnIt)}
        >
          <b>{t(words.toolBoard)}</b>
        </RowKey>
        <Way says={t(words.torques)} onPress={() => to('torques')} />
        {isOpen && <Way says={t(words.foundSomething)} onPress={() => to('found', 'new')} />}
        <Way says={t(words.papers)} onPress={() => go(paperPath(now.row.job))} />
        <Way says={t(words.addANote)} onPress={() => to('note')} />
        {isOpen && <Way says={t(words.parkIt)} onPress={() => to('park')} />}
        {isOpen && <Way says={t(words.promiseIt)} onPress={() => to('plan')} />}
        <Way says={t(words.whereItAllIs)} onPress={() => to('places')} />
        <CallOwner store={store} />
        <CallCustomer store={store} phone={now.row.phone} />
        {isOpen && <Way says={t(words.handOver)} onPress={() => to('hand')} />}
        {isOpen && <Way says={t(words.closeTheJob)} onPress={() => to('close')} />}
      </ul>
      {now.phases.map((phase) => (
        <Phase key={phase.name} phase={phase} now={now} to={to} />
      ))}
      {now.undo.length > 0 && (
        <details class="phase">
          <summary class="row-key">
            <span class="row-words">
              <b>{t(words.waysBack)}</b>
              <small>{t(words.openNow, { undo: now.undo.length })}</small>
            </span>
          </summary>
          <ul class="rows" aria-label={t(words.waysBack)}>
            {now.undo.map((each) => (
              <StepRow
                number={each.step.step.number}
                title={each.step.step.title}
                state="todo"
                note={each.because}
                onPress={() => to('step', each.step.step.id)}
              />
            ))}
          </ul>
        </details>
      )}
      <Cautions cautions={now.bundle.cautions} />
    </Frame>
  )
}
