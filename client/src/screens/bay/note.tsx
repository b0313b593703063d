/** A note for the owner, on a step or on the job. */
import { useState } from 'preact/hooks'
import { HoldKey, MissingKey, SideKey } from '../../parts/keys'
import type { StepNow } from '../../work/job'
import { addNote } from '../../work/write'
import type { ActProps } from './act-props'
import { Frame } from './frame'
import { Words, asWords } from './free-words'
import type { InJob } from './in-job'

export function Note({ about, act, head, store, job, to, onward }: InJob & { about: StepNow | null }) {
  const keep = (text: string) =>
    act.run(
      () => addNote(store, job, text, about ? { step: about.step.id } : {}),
      'The note is kept.',
      onward,
    )
  return <NoteScreen head={head} trouble={act.trouble} about={about} keep={keep} back={() => to('order')} />
}

function NoteScreen({
  head,
  trouble,
  about,
  keep,
  back,
}: ActProps & { about: StepNow | null; keep: (text: string) => Promise<void> }) {
  const [words, setWords] = useState('')
  const text = asWords(words)
  return (
    <Frame
      head={head}
      title={about ? `A note on ${about.step.number || about.step.title}` : 'A note on the job'}
      trouble={trouble}
      deck={
        <>
          <SideKey icon="back" label="back" onPress={back} />
          {text === '' ? (
            <MissingKey label="No words yet" />
          ) : (
            <HoldKey
              label="Keep the note"
              note="hold to record"
              done="on this phone"
              onHeld={() => keep(text)}
            />
          )}
        </>
      }
    >
      <Words label="What the owner should know" value={words} onValue={setWords} />
      <p class="soft">A note changes nothing in the order of work. The owner sees it.</p>
    </Frame>
  )
}
