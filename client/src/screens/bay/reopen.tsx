/** A step that is done is opened again: its price first, then why. */
import { HoldKey, MissingKey } from '../../parts/keys'
import { BigRule } from '../../parts/rule'
import type { StepNow } from '../../work/job'
import { numbersInWords } from '../../work/redo'
import { priceOf } from '../../work/refusal'
import { reopenStep } from '../../work/write'
import { NoBackKey } from './act-keys'
import { useDraft } from './drafts'
import { Frame } from './frame'
import { Words, asWords } from './free-words'
import type { InJob } from './in-job'
import * as says from '../../words/en/bay/reopen'
import { t } from '../../words/message'

export function Reopen({ now, asked, act, framed, store, job, to }: InJob & { asked: StepNow }) {
  const [words, setWords, forget, since] = useDraft(['reopen', job, asked.step.id], '')
  const because = asWords(words)
  const price = priceOf(now, asked)
  const numbers = price.map(({ step }) => step.number).filter(Boolean)
  const around = now.steps
    .filter(({ step }) => step.number !== '')
    .map(({ step, seal }) => ({
      number: step.number,
      state: price.some((each) => each.step.id === step.id) ? ('broken' as const) : seal,
    }))
  const at = around.findIndex(({ number }) => number === asked.step.number)
  const reopen = () =>
    act.run(
      () => reopenStep(store, job, asked.step.id, because),
      t(says.isOpenAgain, { number: asked.step.number }),
      () => to('redo'),
      forget,
    )
  return (
    <Frame
      {...framed}
      title={t(says.doAgain, { number: asked.step.number || t(says.it) })}
      side={<NoBackKey back={() => to('order')} />}
      main={
        because === '' ? (
          <MissingKey label={t(says.whyFirst)} note={t(says.oneSentence)} />
        ) : (
          <HoldKey
            label={t(says.openAgain, { number: asked.step.number || t(says.it) })}
            note={t(says.breaksSeals, { numbers: numbers.length })}
            done={t(says.onThisPhone)}
            onHeld={reopen}
          />
        )
      }
    >
      <p>{asked.step.title}.</p>
      <p class="stop-words">
        {numbers.length
          ? t(says.breaksSealsOf, { n: numbers.length, numbers: numbersInWords(numbers) })
          : t(says.breaksNoSeal)}
      </p>
      <BigRule steps={around.slice(Math.max(0, at - 2), Math.max(0, at - 2) + 11)} now={null} />
      <Words label={t(says.whyAgain)} value={words} onValue={setWords} since={since} />
    </Frame>
  )
}
