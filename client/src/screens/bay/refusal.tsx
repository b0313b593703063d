/** A step that is not open: what to do first, why, where. An instruction, not a lock. */
import { PlainKey, SideKey } from '../../parts/keys'
import type { HeadProps } from '../../parts/head'
import { Seal } from '../../parts/seal'
import { Sign } from '../../parts/signs'
import { Drawing } from './drawing'
import { Frame } from './frame'
import { numberOr, type JobNow, type StepNow } from '../../work/job'
import { lower } from '../../work/letters'
import type { RefusalNow } from '../../work/refusal'
import { RowKey } from './rows'
import * as words from '../../words/en/bay/refusal'
import { t } from '../../words/message'

interface RefusalProps {
  head: HeadProps
  now: JobNow
  asked: StepNow
  refusal: RefusalNow
  goTo: (step: string) => void
  order: () => void
  pass: (() => void) | null
  /** The step holds: it can be done once more, and the work goes on elsewhere. */
  again: (() => void) | null
  onward: () => void
}

export function RefusalScreen(props: RefusalProps) {
  const { head, now, asked, refusal, goTo, order, pass, again, onward } = props
  const { first } = refusal
  return (
    <Frame
      head={head}
      title={first ? t(words.first, { title: lower(first.step.title) }) : refusal.fact}
      side={
        pass ? (
          <SideKey icon="pen" label={t(words.passItBy)} onPress={pass} />
        ) : (
          <SideKey icon="lines" label={t(words.orderOfWork)} onPress={order} />
        )
      }
      main={
        first ? (
          // Not the act of that step: a key that leads there must not read as if it were done.
          <PlainKey
            label={first.step.number ? t(words.goTo, { number: first.step.number }) : t(words.goThere)}
            note={lower(first.step.title)}
            onPress={() => goTo(first.step.id)}
          />
        ) : again && now.current ? (
          // Where a page comes back to a step that is done, the hand goes on with the work.
          <PlainKey
            label={t(words.goOnWith, { number: numberOr(now.current) })}
            note={lower(now.current.step.title)}
            onPress={onward}
          />
        ) : (
          <PlainKey label={t(words.orderOfWorkKey)} onPress={order} />
        )
      }
    >
      <div class="step-body">
        <div class="step-words step-beside">
          {refusal.sign !== null && <Sign name={refusal.sign} size={58} />}
          <p>{refusal.because}</p>
          {first && <p class="soft">{refusal.fact}</p>}
        </div>
        <Drawing now={now} shows={first?.step.look ?? asked.step.look} />
      </div>
      {again && (
        <ul class="rows">
          <RowKey note={t(words.priceFirst)} onPress={again}>
            {t(words.doItAgain)}
          </RowKey>
        </ul>
      )}
      {!now.ending && !again && (
        <ul class="next">
          <li>
            <Seal state={asked.seal} size={30} />
            <em>{asked.step.number}</em>
            <span>{t(words.then, { title: lower(asked.step.title) })}</span>
          </li>
        </ul>
      )}
    </Frame>
  )
}
