/** A stop: what the workshop stated about something in this job is seen before the next step. */
import { SideKey } from '../../parts/keys'
import type { StopNow } from '../../work/stops'
import { addNote } from '../../work/write'
import type { ActProps } from './act-props'
import { CallOwner } from './call'
import { Frame } from './frame'
import type { InJob } from './in-job'
import * as words from '../../words/en/bay/stop'
import { t } from '../../words/message'
import { RecordKey } from './act-keys'

export function Stop({ act, head, store, job, to, onward, stop }: InJob & { stop: StopNow }) {
  const seen = () =>
    act.run(
      () => addNote(store, job, t(words.seen, { fact: stop.fact }), { name: stop.name }),
      t(words.recordedAsSeen),
      onward,
    )
  return (
    <StopScreen
      head={head}
      trouble={act.trouble}
      back={() => to('order')}
      store={store}
      stop={stop}
      seen={seen}
    />
  )
}

/** A workshop's statement that meets this job: a lot, a wrench, an edition. Shown before the next step. */
function StopScreen({
  head,
  trouble,
  store,
  stop,
  seen,
  back,
}: ActProps & Pick<InJob, 'store'> & { stop: StopNow; seen: () => Promise<void> }) {
  return (
    <Frame
      head={head}
      title={stop.fact}
      trouble={trouble}
      side={<SideKey icon="lines" label={t(words.orderOfWork)} onPress={back} />}
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
