/** The order of work, behind the head band: every step with its seal, the ways back, and what else can be done here. */
import { PlainKey, SideKey } from '../../parts/keys'
import { Seal } from '../../parts/seal'
import type { SealState } from '../../work/shown'
import { Frame } from './frame'
import { Cautions } from './cautions'
import { RowKey, StepRow } from './rows'
import type { JobNow, StepNow } from '../../work/job'
import { Recalled } from './recalled'
import type { InJob } from './in-job'
import { goBay } from './nav'
import * as words from '../../words/en/bay/order'
import { t } from '../../words/message'

interface OrderProps {
  now: JobNow
  job: string
  goOn: () => void
  jobs: () => void
  step: (step: string) => void
  reopen: (step: string) => void
  tools: () => void
  note: () => void
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
            onPress={() =>
              each.seal === 'holds' || each.seal === 'passed'
                ? props.reopen(each.step.id)
                : props.step(each.step.id)
            }
          />
        ))}
      </ul>
    </details>
  )
}

function OrderScreen(props: OrderProps) {
  const { now } = props
  const { current } = now
  return (
    <Frame
      title={t(words.orderOfWork)}
      side={<SideKey icon="lines" label={t(words.allJobs)} onPress={props.jobs} />}
      main={
        <PlainKey
          label={current ? t(words.goOnWith, { number: current.step.number || t(words.it) }) : t(words.goOn)}
          note={now.ending?.name ?? props.job}
          onPress={props.goOn}
        />
      }
    >
      <Recalled now={now} />
      <ul class="fours" aria-label={t(words.thisJob)}>
        <RowKey
          onPress={props.tools}
          note={now.toolsOut.length ? t(words.out, { toolsOut: now.toolsOut.length }) : t(words.allOnIt)}
        >
          <b>{t(words.toolBoard)}</b>
        </RowKey>
        <RowKey onPress={props.note}>
          <b>{t(words.addANote)}</b>
        </RowKey>
        <RowKey onPress={props.places}>
          <b>{t(words.whereItAllIs)}</b>
        </RowKey>
        <RowKey onPress={props.close}>
          <b>{t(words.closeTheJob)}</b>
        </RowKey>
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

export function Order({ now, head, to, onward }: Pick<InJob, 'now' | 'head' | 'to' | 'onward'>) {
  return (
    <OrderScreen
      now={now}
      job={head.job}
      goOn={onward}
      jobs={() => goBay()}
      step={(step) => to('step', step)}
      reopen={(step) => to('reopen', step)}
      tools={() => to('tools')}
      note={() => to('note')}
      places={() => to('places')}
      close={() => to('close')}
    />
  )
}
