/** A step that is not open: what to do first, why, where. An instruction, not a lock. */
import { PlainKey, SideKey } from '../../parts/keys'
import { Seal } from '../../parts/seal'
import { Sign } from '../../parts/signs'
import { OrderKey } from './act-keys'
import { Drawing } from './drawing'
import { Frame } from './frame'
import { numberOr } from '../../work/job'
import { lower } from '../../work/letters'
import type { RefusalNow } from '../../work/refusal'
import type { InStep } from './in-job'
import { RowKey } from './rows'
import * as words from '../../words/en/bay/refusal'
import { t } from '../../words/message'

export function RefusalScreen({ refusal, ...inStep }: InStep & { refusal: RefusalNow }) {
  const { head, now, asked, to, toStep, onward } = inStep
  const { first } = refusal
  // A step that holds can be done once more, and the work goes on elsewhere.
  const isDone = asked.seal === 'holds' || asked.seal === 'passed'
  return (
    <Frame
      head={head}
      title={first ? t(words.first, { title: lower(first.step.title) }) : refusal.fact}
      side={
        refusal.ask.length > 0 ? (
          <SideKey icon="pen" label={t(words.passItBy)} onPress={() => toStep('pass')} />
        ) : (
          <OrderKey to={to} />
        )
      }
      main={
        first ? (
          // Not the act of that step: a key that leads there must not read as if it were done.
          <PlainKey
            label={first.step.number ? t(words.goTo, { number: first.step.number }) : t(words.goThere)}
            note={lower(first.step.title)}
            onPress={() => to('step', first.step.id)}
          />
        ) : isDone && now.current ? (
          // Where a page comes back to a step that is done, the hand goes on with the work.
          <PlainKey
            label={t(words.goOnWith, { number: numberOr(now.current) })}
            note={lower(now.current.step.title)}
            onPress={onward}
          />
        ) : (
          <PlainKey label={t(words.orderOfWorkKey)} onPress={() => to('order')} />
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
      {isDone && (
        <ul class="rows">
          <RowKey note={t(words.priceFirst)} onPress={() => to('reopen', asked.step.id)}>
            {t(words.doItAgain)}
          </RowKey>
        </ul>
      )}
      {!now.ending && !isDone && (
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
