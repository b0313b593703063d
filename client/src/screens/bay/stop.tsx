/** A stop: what the workshop stated about a lot, a wrench, an edition of this job is seen before the next step. */
import type { StopNow } from '../../work/stops'
import { addNote } from '../../work/write'
import { CallOwner } from './call'
import { Frame } from './frame'
import type { InJob } from './in-job'
import * as words from '../../words/en/bay/stop'
import { t } from '../../words/message'
import { OrderKey, RecordKey } from './act-keys'

export function Stop({ act, framed, store, job, to, onward, stop }: InJob & { stop: StopNow }) {
  const seen = () =>
    act.run(
      () => addNote(store, job, t(words.seen, { fact: stop.fact }), { name: stop.name }),
      t(words.recordedAsSeen),
      onward,
    )
  return (
    <Frame
      {...framed}
      title={stop.fact}
      side={<OrderKey to={to} />}
      main={<RecordKey label={t(words.itIsSeen)} onHeld={seen} />}
    >
      <p class="stop-words">{stop.because}</p>
      <p>{stop.hint}</p>
      <ul class="rows">
        <CallOwner store={store} />
      </ul>
    </Frame>
  )
}
