/** A house rule that asks is passed by: the reason first, then a photo of how it is. */
import type { Picture } from '../../instruments/camera'
import { MissingKey, PlainKey } from '../../parts/keys'
import { passStep } from '../../work/write'
import * as words from '../../words/en/bay/pass-rule'
import { t } from '../../words/message'
import { NoBackKey } from './act-keys'
import { useDraft } from './drafts'
import { Frame } from './frame'
import { Words, asWords } from './free-words'
import type { InStep, Passing } from './in-job'
import { dropReason, giveReason } from './passing'
import { PhotoBeside } from './photo-beside'

/** Forgotten with the photo: it is written with the step. */
const usePassDraft = (job: string, { step }: InStep['asked']) => useDraft(['pass', job, step.id], '')

/** A house rule that asks: passed with a reason, the step's own proofs and a photo, and the owner sees it for ever. */
export function PassReason({ job, asked, head, toStep }: Pick<InStep, 'job' | 'asked' | 'head' | 'toStep'>) {
  const [typed, setTyped, , since] = usePassDraft(job, asked)
  const because = asWords(typed)
  const goOn = () => {
    giveReason(job, asked, because)
    toStep()
  }
  return (
    <Frame
      head={head}
      title={t(words.passTitle)}
      side={<NoBackKey back={() => toStep()} />}
      main={
        because === '' ? (
          <MissingKey label={t(words.whyFirst)} note={t(words.thenAPhoto)} />
        ) : (
          <PlainKey
            label={t(words.goOnWith, { number: asked.step.number || t(words.it) })}
            note={t(words.photoComesLast)}
            onPress={goOn}
          />
        )
      }
    >
      <p class="stop-words">{t(words.passedMeans)}</p>
      <Words label={t(words.whyPassed)} value={typed} onValue={setTyped} since={since} />
    </Frame>
  )
}

type PassProps = InStep & { passing: Passing }

export function PassPhoto({ passing, ...inStep }: PassProps) {
  const { asked, act, store, job, toStep, onward } = inStep
  const [, , forget] = usePassDraft(job, asked)
  const pass = async (picture: Picture) => {
    const entries = await passStep(store, job, asked, passing.rules, passing.because, picture)
    dropReason(job, asked)
    forget()
    return entries
  }
  return (
    <PhotoBeside
      of={inStep}
      step={asked.step}
      name="passed"
      label={t(words.passPhoto)}
      paints
      keep={(picture) => act.run(() => pass(picture), t(words.passed), onward)}
      back={() => toStep()}
    />
  )
}
