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

interface OrderProps {
  now: JobNow
  job: string
  goOn: () => void
  jobs: () => void
  step: (step: string) => void
  read: (step: string) => void
  torques: () => void
  tools: () => void
  note: () => void
  handOver: () => void
  store: InJob['store']
  sync: Rooms['sync']
  to: InJob['to']
  places: () => void
  close: () => void
}

function noteOf({ open, step, seal }: StepNow, now: JobNow): string | undefined {
  if (now.current?.step.id === step.id) return 'now'
  if (seal === 'holds') return undefined
  if (seal === 'broken') return t(words.toDoAgain)
  return open ? 'open' : undefined
}

/** A phase is one row until it is opened; the one that is now stands open. */
function Phase({ phase: { name, steps }, props }: { phase: JobNow['phases'][number]; props: OrderProps }) {
  const { now } = props
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
            onPress={() => (isWorkable(each, now) ? props.step(each.step.id) : props.read(each.step.id))}
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

function OrderScreen(props: OrderProps) {
  const { now } = props
  return (
    <Frame
      title={t(words.orderOfWork)}
      side={<SideKey icon="lines" label={t(words.allJobs)} onPress={props.jobs} />}
      main={<PlainKey label={goOnWords(now)} note={now.ending?.name ?? props.job} onPress={props.goOn} />}
    >
      <Recalled now={now} />
      <FoundHere now={now} to={props.to} store={props.store} sync={props.sync} />
      <ul class="fours" aria-label={t(words.thisJob)}>
        <RowKey
          onPress={props.tools}
          note={now.toolsOut.length ? t(words.out, { toolsOut: now.toolsOut.length }) : t(words.allOnIt)}
        >
          <b>{t(words.toolBoard)}</b>
        </RowKey>
        <RowKey onPress={props.torques}>
          <b>{t(words.torques)}</b>
        </RowKey>
        {now.row.end === null && (
          <RowKey onPress={() => props.to('found', 'new')}>
            <b>{t(words.foundSomething)}</b>
          </RowKey>
        )}
        <RowKey onPress={() => go(paperPath(now.row.job))}>
          <b>{t(words.papers)}</b>
        </RowKey>
        <RowKey onPress={props.note}>
          <b>{t(words.addANote)}</b>
        </RowKey>
        {now.row.end === null && (
          <RowKey onPress={() => props.to('park')}>
            <b>{t(words.parkIt)}</b>
          </RowKey>
        )}
        {now.row.end === null && (
          <RowKey onPress={() => props.to('plan')}>
            <b>{t(words.promiseIt)}</b>
          </RowKey>
        )}
        <RowKey onPress={props.places}>
          <b>{t(words.whereItAllIs)}</b>
        </RowKey>
        <CallOwner store={props.store} />
        <CallCustomer store={props.store} phone={now.row.phone} />
        {now.row.end === null && (
          <RowKey onPress={props.handOver}>
            <b>{t(words.handOver)}</b>
          </RowKey>
        )}
        {now.row.end === null && (
          <RowKey onPress={props.close}>
            <b>{t(words.closeTheJob)}</b>
          </RowKey>
        )}
      </ul>
      {now.phases.map((phase) => (
        <Phase key={phase.name} phase={phase} props={props} />
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
                onPress={() => props.step(each.step.step.id)}
              />
            ))}
          </ul>
        </details>
      )}
      <Cautions cautions={now.bundle.cautions} />
    </Frame>
  )
}

export function Order({ now, head, to, onward, store, sync }: InJob & Pick<Rooms, 'sync'>) {
  return (
    <OrderScreen
      now={now}
      job={head.job}
      goOn={onward}
      jobs={() => goBay()}
      step={(step) => to('step', step)}
      read={(step) => to('read', step)}
      torques={() => to('torques')}
      tools={() => to('tools')}
      note={() => to('note')}
      handOver={() => to('hand')}
      store={store}
      sync={sync}
      to={to}
      places={() => to('places')}
      close={() => to('close')}
    />
  )
}
