/** The order of work, behind the head band: every step with its seal, the ways back, and what else can be done here. */
import { PlainKey, SideKey } from '../../parts/keys'
import { Frame } from './frame'
import { RowKey, StepRow } from './bits'
import type { JobNow, StepNow } from './job'

export interface OrderProps {
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
  if (seal === 'broken') return 'to do again'
  return open ? 'open' : undefined
}

export function OrderScreen(props: OrderProps) {
  const { now } = props
  const { current } = now
  return (
    <Frame
      title="The order of work"
      deck={
        <>
          <SideKey icon="lines" label="all jobs" onPress={props.jobs} />
          <PlainKey label={current ? `Go on with ${current.step.number || 'it'}` : 'Go on'} note={props.job} onPress={props.goOn} />
        </>
      }
    >
      <ul class="rows" aria-label="This job">
        <RowKey onPress={props.tools} note={now.toolsOut.length ? `${now.toolsOut.length} in the engine bay` : 'all on the board'}>
          <b>Tool board</b>
        </RowKey>
        <RowKey onPress={props.note}>
          <b>Add a note</b>
        </RowKey>
        <RowKey onPress={props.places} note="on this phone, in the workshop, backed up">
          <b>Where it all is</b>
        </RowKey>
        <RowKey onPress={props.close}>
          <b>Close the job</b>
        </RowKey>
      </ul>
      {now.undo.length > 0 && (
        <section>
          <h2 class="phase-head">Ways back</h2>
          <ul class="rows" aria-label="Ways back">
            {now.undo.map((each) => (
              <StepRow number={each.step.step.number} title={each.step.step.title} state="todo" note={each.because} onPress={() => props.step(each.step.step.id)} />
            ))}
          </ul>
        </section>
      )}
      {now.phases.map(({ name, steps }) => (
        <section>
          <h2 class="phase-head">{name}</h2>
          <ul class="rows" aria-label={name}>
            {steps.map((each) => (
              <StepRow
                number={each.step.number}
                title={each.step.title}
                state={now.current?.step.id === each.step.id ? 'now' : each.seal}
                note={noteOf(each, now)}
                onPress={() => (each.seal === 'holds' || each.seal === 'passed' ? props.reopen(each.step.id) : props.step(each.step.id))}
              />
            ))}
          </ul>
        </section>
      ))}
    </Frame>
  )
}
