/** A note for the owner, on a step or on the job. */
import { MissingKey } from '../../parts/keys'
import type { StepNow } from '../../work/job'
import { addNote } from '../../work/write'
import type { ActProps } from './act-props'
import { useDraft, type Draft } from './drafts'
import { Frame } from './frame'
import { Words, asWords } from './free-words'
import type { InJob } from './in-job'
import * as says from '../../words/en/bay/note'
import { t } from '../../words/message'
import { BackKey, RecordKey } from './act-keys'

export function Note({ about, act, head, store, job, to, onward }: InJob & { about: StepNow | null }) {
  const draft = useDraft(['note', job, about?.step.id ?? ''], '')
  const keep = (text: string) =>
    act.run(
      () => addNote(store, job, text, about ? { step: about.step.id } : {}),
      t(says.noteIsKept),
      onward,
      async () => draft[2](),
    )
  return (
    <NoteScreen
      head={head}
      trouble={act.trouble}
      about={about}
      draft={draft}
      keep={keep}
      back={() => to('order')}
    />
  )
}

function NoteScreen({
  head,
  trouble,
  about,
  draft: [words, setWords, , since],
  keep,
  back,
}: ActProps & { draft: Draft; about: StepNow | null; keep: (text: string) => Promise<void> }) {
  const text = asWords(words)
  return (
    <Frame
      head={head}
      title={about ? t(says.noteOn, { number: about.step.number || about.step.title }) : t(says.noteOnTheJob)}
      trouble={trouble}
      side={<BackKey back={back} />}
      main={
        text === '' ? (
          <MissingKey label={t(says.noWordsYet)} />
        ) : (
          <RecordKey label={t(says.keepTheNote)} onHeld={() => keep(text)} />
        )
      }
    >
      <Words label={t(says.noteLabel)} value={words} onValue={setWords} since={since} />
      <p class="soft">{t(says.noteExplained)}</p>
    </Frame>
  )
}
