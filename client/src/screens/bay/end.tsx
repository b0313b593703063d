/** The work goes on no further, and the job ends rightly all the same: what to do now, what stays forbidden, who decides. */
import { PlainKey } from '../../parts/keys'
import { Sign } from '../../parts/signs'
import { OrderKey } from './act-keys'
import { CallOwner } from './call'
import { Frame } from './frame'
import type { JobNow, StepNow } from '../../work/job'
import { lower } from '../../work/letters'
import type { InJob } from './in-job'
import * as says from '../../words/en/bay/end'
import { t } from '../../words/message'

/** A finding of this very job comes before what the procedure says of all. */
const signOf = ({ lastFailure }: JobNow) => lastFailure?.step.step.caution?.sign ?? 'warning'

type EndProps = Pick<InJob, 'head' | 'now' | 'to' | 'store'> & { instead?: StepNow | null }

/** @param instead a step that was asked for and is not done any more */
export function End({ head, now, to, store, instead = null }: EndProps) {
  const { lastFailure, ending } = now
  if (!ending) return null
  return (
    <Frame
      head={head}
      title={ending.name}
      side={<OrderKey to={to} />}
      main={<PlainKey label={t(says.endTheJob)} note={lower(ending.name)} onPress={() => to('close')} />}
    >
      {instead && <p>{t(says.notAnyMore, { number: instead.step.number, title: instead.step.title })}</p>}
      {lastFailure && (
        <>
          <p>{lastFailure.says}</p>
          <p>
            <b>{t(says.now, { then: lower(lastFailure.then) })}</b>
          </p>
        </>
      )}
      {ending.never.map(({ words, because }) => (
        <div class="caution">
          <Sign name={signOf(now)} size={58} />
          <p>
            <b>{t(says.never, { words: lower(words) })}</b> {because}
          </p>
        </div>
      ))}
      <p>{t(says.noWayBack)}</p>
      <ul class="rows">
        <CallOwner store={store} />
      </ul>
    </Frame>
  )
}
