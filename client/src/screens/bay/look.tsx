/** What is not sure is looked at, before any step. */
import { useState } from 'preact/hooks'
import { Choice } from '../../parts/choice'
import { MissingKey } from '../../parts/keys'
import type { LookNow } from '../../work/job'
import { hangingPin } from '../../work/step-tools'
import { seeCondition } from '../../work/write'
import { Drawing } from './drawing'
import { Frame } from './frame'
import type { InJob } from './in-job'
import * as words from '../../words/en/bay/look'
import { t } from '../../words/message'
import { OrderKey, RecordKey } from './act-keys'

/** Of its own for each condition: what was chosen for one is nothing that was said of the next. */
export function Look({ now, act, framed, store, job, to, onward, look }: InJob & { look: LookNow }) {
  const seen = (value: string) =>
    act.run(
      () => seeCondition(store, job, look.condition, value, hangingPin(now, look.condition, value)),
      t(words.recorded),
      onward,
    )
  const [chosen, setChosen] = useState<string | null>(null)
  const value = look.values.find(({ id }) => id === chosen)
  return (
    <Frame
      {...framed}
      title={look.label}
      side={<OrderKey to={to} />}
      main={
        value ? (
          <RecordKey label={t(words.itIsSo)} onHeld={() => seen(value.id)} />
        ) : (
          <MissingKey label={t(words.lookFirst)} note={t(words.thenChooseAbove)} />
        )
      }
    >
      <p>{look.because}</p>
      <Choice label={look.label} rows={look.values} chosen={chosen} onChoose={setChosen} />
      {look.at.length > 0 && <Drawing now={now} shows={look.at} />}
    </Frame>
  )
}
