/** A question of the owner's on a step: answered in words, with a photo, or by doing the step again. */
import { useEffect, useState } from 'preact/hooks'
import type { Ref } from '../../ledger/bodies'
import type { Rooms } from '../rooms'
import { Frame } from './frame'
import { SideKey, PlainKey } from '../../parts/keys'
import { PhotoScreen } from './proofs/photo'
import type { InJob } from './in-job'
import { QuestionScreen } from './talk'
import { answerInWords, answerWithPhoto } from '../../work/write'

/** The words of a private value: from this phone, else from the workshop when it can be reached. */
function useSecret({ store, sync }: Rooms, ref: Ref | undefined): string | null {
  const [words, setWords] = useState<string | null>(null)
  useEffect(() => {
    let gone = false
    if (ref)
      void store
        .secretValue(ref)
        .then(async (here) => here ?? (await sync.value(ref)))
        .then((found) => !gone && setWords(found))
    return () => {
      gone = true
    }
  }, [ref?.blob])
  return words
}

export function QuestionRoom(room: InJob & { later?: () => void }) {
  const { now, act, head, store, job, to, onward, parts } = room
  const question = now.questions.find(({ entry }) => entry === parts[0])
  const words = useSecret(room, question?.words)
  if (!question) {
    return (
      <Frame
        head={head}
        title="This question is answered"
        deck={
          <>
            <SideKey icon="lines" label="order of work" onPress={() => to('order')} />
            <PlainKey label="Go on" onPress={onward} />
          </>
        }
      />
    )
  }
  const { entry, step } = question
  if (parts[1] === 'photo') {
    return (
      <PhotoScreen
        head={head}
        step={step.step}
        proof={{ name: 'answer', kind: 'photo', label: `Answer on ${step.step.number || step.step.title}` }}
        trouble={act.trouble}
        paints={false}
        intend={() => Promise.resolve()}
        keep={(given) =>
          given.kind === 'picture'
            ? act.run(
                () => answerWithPhoto(store, job, entry, step.step.id, given.picture),
                'The answer is kept.',
                onward,
              )
            : Promise.reject(new Error('no picture'))
        }
        back={() => to('question', entry)}
        fail={null}
      />
    )
  }
  return (
    <QuestionScreen
      key={entry}
      head={head}
      trouble={act.trouble}
      now={now}
      question={question}
      words={words}
      answer={(text) => act.run(() => answerInWords(store, job, entry, text), 'The answer is kept.', onward)}
      photo={() => to('question', entry, 'photo')}
      reopen={() => to('reopen', step.step.id)}
      back={room.later ?? (() => to('order'))}
    />
  )
}
