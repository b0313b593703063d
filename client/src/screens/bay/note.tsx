/** A note for the owner, on a step or on the job. */
import { MissingKey } from '../../parts/keys'
import type { StepNow } from '../../work/job'
import { addNote } from '../../work/write'
import { useDraft } from './drafts'
import { Frame } from './frame'
import { Words, asWords } from './free-words'
import type { InJob } from './in-job'
import * as says from '../../words/en/bay/note'
import { t } from '../../words/message'
import { BackKey, RecordKey } from './act-keys'

export function Note({ about, act, framed, store, job, to, onward }: InJob & { about: StepNow | null }) {
  const [words, setWords, forget, since] = useDraft(['note', job, about?.step.id ?? ''], '')
  const text = asWords(words)
  const keep = () =>
    act.run(
      () => addNote(store, job, text, about ? { step: about.step.id } : {}),
      t(says.noteIsKept),
      onward,
      forget,
    )
  return (
    <Frame
      {...framed}
      title={about ? t(says.noteOn, { number: about.step.number || about.step.title }) : t(says.noteOnTheJob)}
      side={<BackKey back={() => to('order')} />}
      main={
        text === '' ? (
          <MissingKey label={t(says.noWordsYet)} />
        ) : (
          <RecordKey label={t(says.keepTheNote)} onHeld={keep} />
        )
      }
    >
      <Words label={t(says.noteLabel)} value={words} onValue={setWords} since={since} />
      <p class="soft">{t(says.noteExplained)}</p>
    </Frame>
  )
}
