/** The work goes on no further, and the job ends rightly all the same: what to do now, what stays forbidden, who decides. */
import { PlainKey, SideKey } from '../../parts/keys'
import { Sign } from '../../parts/signs'
import { Frame } from './frame'
import { lower, type JobNow, type StepNow } from '../../work/job'
import type { InJob } from './in-job'

/** Nothing is left to be done before another end than the good one. */
export const isAtItsEnd = ({ ending, plan }: JobNow): boolean => ending !== null && plan.length === 0

/** A finding of this very job comes before what the procedure says of all. */
const signOf = ({ lastFailure }: JobNow) => lastFailure?.step.step.caution?.sign ?? 'warning'

type EndProps = Pick<InJob, 'head' | 'now' | 'to'> & { instead?: StepNow | null }

/** @param instead a step that was asked for and is not done any more */
export function End({ head, now, to, instead = null }: EndProps) {
  const { lastFailure, ending } = now
  if (!ending) return null
  return (
    <Frame
      head={head}
      title={ending.name}
      deck={
        <>
          <SideKey icon="lines" label="order of work" onPress={() => to('order')} />
          <PlainKey label="End the job" note={lower(ending.name)} onPress={() => to('close')} />
        </>
      }
    >
      {instead && (
        <p>
          {instead.step.number} {instead.step.title}: not any more.
        </p>
      )}
      {lastFailure && (
        <>
          <p>{lastFailure.says}</p>
          <p>
            <b>Now: {lower(lastFailure.then)}</b>
          </p>
        </>
      )}
      {ending.never.map(({ words, because }) => (
        <div class="caution caution-wide">
          <Sign name={signOf(now)} size={58} />
          <p>
            <b>Never {lower(words)}.</b> {because}
          </p>
        </div>
      ))}
      <p>
        No step leads back into the work from here. What becomes of the vehicle is for the owner to decide:
        call the owner, then end the job.
      </p>
    </Frame>
  )
}
