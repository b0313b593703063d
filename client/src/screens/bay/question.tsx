/** A question of the owner's on a step: answered in words, with a photo, or by doing the step again. */
import type { Picture } from '../../instruments/camera'
import type { Rooms } from '../rooms'
import { useSecret } from '../secret'
import { useDraft, type Draft } from './drafts'
import { Frame } from './frame'
import { PlainKey, SideKey } from '../../parts/keys'
import type { QuestionNow } from '../../work/job'
import type { ActProps } from './act-props'
import { Words, asWords } from './free-words'
import { PhotoBeside } from './photo-beside'
import type { InJob } from './in-job'
import { RowKey } from './rows'
import { answerQuestion } from '../../work/write'
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
  const draft = useDraft(['answer', asks ?? ''], '')
  const typed = asWords(draft[0])
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
  const answer = (picture: Picture | null) =>
    act.run(
      () => answerQuestion(store, job, entry, step.step.id, typed, picture),
      t(says.answerIsKept),
      onward,
      async () => draft[2](),
    )
  if (isPhoto) {
    return (
      <PhotoBeside
        head={head}
        act={act}
        store={store}
        step={step.step}
        name="answer"
        label={t(says.answerOn, { number: step.step.number || step.step.title })}
        keep={answer}
        back={() => to('question', entry)}
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
      draft={draft}
      answer={() => answer(null)}
      photo={() => to('question', entry, 'photo')}
      reopen={() => to('reopen', step.step.id)}
      read={() => to('read', step.step.id)}
      back={later ?? (() => to('order'))}
    />
  )
}

interface QuestionProps extends ActProps {
  question: QuestionNow
  /** Null while the words are not on this phone. */
  words: string | null
  draft: Draft
  answer: () => Promise<void>
  photo: () => void
  reopen: () => void
  read: () => void
}

function QuestionScreen({ draft, answer, photo, reopen, read, ...shown }: QuestionProps) {
  const { head, trouble, question, words, back } = shown
  const [typed, setTyped, , since] = draft
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
          <RecordKey label={t(says.answer)} onHeld={answer} />
        )
      }
    >
      <p>
        <b>{step.step.title}</b>
      </p>
      {question.photo !== null && <p>{t(says.aboutPhoto, { photo: question.photo })}</p>}
      <p>{words ?? t(says.wordsMissing)}</p>
      <Words label={t(says.answerInWords)} value={typed} onValue={setTyped} since={since} />
      <ul class="rows">
        {question.photo !== null && <RowKey onPress={read}>{t(says.lookAtPhoto)}</RowKey>}
        {text !== '' && <RowKey onPress={photo}>{t(says.photoAsWell)}</RowKey>}
        <RowKey note={t(says.priceFirst)} onPress={reopen}>
          {t(says.doTheStepAgain)}
        </RowKey>
      </ul>
    </Frame>
  )
}
