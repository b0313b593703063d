/**
 * Before the driver signs for the vehicle: what the customer said yes to is done, or answered anew. A signature under a
 * sheet that says 'still to be done' would stand for work that nobody has seen.
 */
import type { ComponentChildren } from 'preact'
import { PlainKey } from '../../../parts/keys'
import { agreedOpen, foundIn } from '../../../work/found'
import { BackKey } from '../act-keys'
import { Frame } from '../frame'
import type { InStep } from '../in-job'
import { FoundRow } from './found-row'
import * as says from '../../../words/en/bay/found/agreed-first'
import { t } from '../../../words/message'

/** @param sign what is shown once nothing agreed is left to do */
export function AgreedFirst({ sign, ...inStep }: InStep & { sign: ComponentChildren }) {
  const { now, framed, to, toStep } = inStep
  const left = agreedOpen(foundIn(now.held, now.bundle))
  const [next] = left
  if (!next) return <>{sign}</>
  return (
    <Frame
      {...framed}
      title={t(says.stillToDo, { n: left.length })}
      side={<BackKey back={() => toStep()} />}
      main={
        <PlainKey
          label={t(says.doItFirst)}
          note={t(says.thenSign)}
          onPress={() => to('found', 'one', next.entry)}
        />
      }
    >
      <p class="reason">{t(says.because)}</p>
      <ul class="rows" aria-label={t(says.stillToDo, { n: left.length })}>
        {left.map((found) => (
          <FoundRow key={found.entry} {...inStep} found={found} />
        ))}
      </ul>
      <p>{t(says.orAskAnew)}</p>
    </Frame>
  )
}
