/** A question of the owner's on a step: answered in words, with a photo, or by doing the step again. */
import { useState } from 'preact/hooks'
import type { Rooms } from '../rooms'
import { useSecret } from '../secret'
import { Frame } from './frame'
import { PlainKey, SideKey } from '../../parts/keys'
import type { QuestionNow } from '../../work/job'
import type { ActProps } from './act-props'
import { Words, asWords } from './free-words'
import { PhotoScreen } from './proofs/camera-screens'
import type { InJob } from './in-job'
import { answerInWords, answerWithPhoto } from '../../work/write'
import * as says from '../../words/en/bay/question'
import { t } from '../../words/message'
import { RecordKey } from './act-keys'

type Asked = InJob & {
  sync: Rooms['sync']
  /** The entry that asks. */
  asks: string | undefined
  isPhoto: boolean
  later?: () => void
}

export function Question({ now, act, head, store, job, to, onward, sync, asks, isPhoto, later }: Asked) {
  const question = now.questions.find(({ entry }) => entry === asks)
  const words = useSecret({ store, sync }, question?.words)
  if (!question) {
    return (
      <Frame
        head={head}
        title={t(says.alreadyAnswered)}
        side={<SideKey icon="lines" label={t(says.orderOfWork)} onPress={() => to('order')} />}
        main={<PlainKey label={t(says.goOn)} onPress={onward} />}
      />
    )
  }
  const { entry, step } = question
  if (isPhoto) {
    return (
      <PhotoScreen
        head={head}
        step={step.step}
        proof={{
          name: 'answer',
          kind: 'photo',
          label: t(says.answerOn, { number: step.step.number || step.step.title }),
        }}
        trouble={act.trouble}
        paints={false}
        given={[]}
        intend={() => Promise.resolve()}
        expect={(photo) => store.expectPhoto(photo)}
        keep={(given) =>
          given.kind === 'picture'
            ? act.run(
                () => answerWithPhoto(store, job, entry, step.step.id, given.picture),
                t(says.answerIsKept),
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
      question={question}
      words={words}
      answer={(text) => act.run(() => answerInWords(store, job, entry, text), t(says.answerIsKept), onward)}
      photo={() => to('question', entry, 'photo')}
      reopen={() => to('reopen', step.step.id)}
      back={later ?? (() => to('order'))}
    />
  )
}

interface QuestionProps extends ActProps {
  question: QuestionNow
  /** Null while the words are not on this phone. */
  words: string | null
  answer: (words: string) => Promise<void>
  photo: () => void
  reopen: () => void
}

function QuestionScreen({ head, trouble, question, words, answer, photo, reopen, back }: QuestionProps) {
  const [typed, setTyped] = useState('')
  const text = asWords(typed)
  const { step } = question
  return (
    <Frame
      head={head}
      title={t(says.ownerAsksAbout, { number: step.step.number || t(says.step) })}
      trouble={trouble}
      side={<SideKey icon="back" label={t(says.later)} onPress={back} />}
      main={
        text === '' ? (
          <PlainKey label={t(says.answerWithAPhoto)} onPress={photo} />
        ) : (
          <RecordKey label={t(says.answer)} onHeld={() => answer(text)} />
        )
      }
    >
      <p>
        <b>{step.step.title}</b>
      </p>
      <p>{words ?? t(says.wordsMissing)}</p>
      <Words label={t(says.answerInWords)} value={typed} onValue={setTyped} />
      <ul class="rows">
        <li>
          <button type="button" class="row-key" onClick={reopen}>
            <span class="row-words">
              {t(says.doTheStepAgain)}
              <small>{t(says.priceFirst)}</small>
            </span>
          </button>
        </li>
      </ul>
    </Frame>
  )
}
