/** A question of the owner's on a step: answered in words, with a photo, or by doing the step again. */
import type { Picture } from '../../instruments/camera'
import type { Rooms } from '../rooms'
import { useSecret } from '../secret'
import { useDraft } from './drafts'
import { Frame } from './frame'
import { PlainKey, SideKey } from '../../parts/keys'
import { Words, asWords } from './free-words'
import { NothingToDo } from './nothing-to-do'
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

/** Of its own for each question: what is dictated for one is not written under the next. */
export function Question({ sync, asks, isPhoto, later, ...inJob }: Asked) {
  const { now, act, head, framed, store, job, to, onward } = inJob
  const question = now.questions.find(({ entry }) => entry === asks)
  const [typed, setTyped, forget, since] = useDraft(['answer', asks ?? ''], '')
  const text = asWords(typed)
  const words = useSecret({ store, sync }, question?.words)
  if (!question) return <NothingToDo title={t(says.alreadyAnswered)} head={head} to={to} onward={onward} />
  const { entry, step } = question
  const answer = (picture: Picture | null) =>
    act.run(
      () => answerQuestion(store, job, entry, step.step.id, text, picture),
      t(says.answerIsKept),
      onward,
      forget,
    )
  if (isPhoto) {
    return (
      <PhotoBeside
        of={inJob}
        step={step.step}
        name="answer"
        label={t(says.answerOn, { number: step.step.number || step.step.title })}
        keep={answer}
        back={() => to('question', entry)}
      />
    )
  }
  const photo = () => to('question', entry, 'photo')
  return (
    <Frame
      {...framed}
      title={t(says.ownerAsksAbout, { number: step.step.number || t(says.step) })}
      side={<SideKey icon="back" label={t(says.later)} onPress={later ?? (() => to('order'))} />}
      main={
        text === '' ? (
          <PlainKey label={t(says.answerWithAPhoto)} onPress={photo} />
        ) : (
          <RecordKey label={t(says.answer)} onHeld={() => answer(null)} />
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
        {question.photo !== null && (
          <RowKey onPress={() => to('read', step.step.id)}>{t(says.lookAtPhoto)}</RowKey>
        )}
        {text !== '' && <RowKey onPress={photo}>{t(says.photoAsWell)}</RowKey>}
        <RowKey note={t(says.priceFirst)} onPress={() => to('reopen', step.step.id)}>
          {t(says.doTheStepAgain)}
        </RowKey>
      </ul>
    </Frame>
  )
}
