/** It is not like that: the step's failures in words, then the redo that follows. */
import { useState } from 'preact/hooks'
import { Choice } from '../../parts/choice'
import { MissingKey, PlainKey } from '../../parts/keys'
import { BigRule } from '../../parts/rule'
import { Seal } from '../../parts/seal'
import { Sign } from '../../parts/signs'
import { Frame } from './frame'
import { RowKey } from './rows'
import { lower } from '../../work/letters'
import { redoOf } from '../../work/redo'
import { pinsToPutIn, toolLabel } from '../../work/step-tools'
import { failStep } from '../../work/write'
import * as words from '../../words/en/bay/fail'
import { t } from '../../words/message'
import { BackKey, OrderKey, RecordKey } from './act-keys'
import type { InJob, InStep } from './in-job'

/** The step's failures in words; what one of them leaves behind is written with it. */
export function Fail({ now, asked, act, framed, store, job, to, toStep }: InStep) {
  const [chosen, setChosen] = useState<string | null>(null)
  const failure = asked.step.fails.find(({ id }) => id === chosen)
  // Pins that hang on the board and have to be in their holes when this failure is told.
  const slots = failure ? pinsToPutIn(now, asked, failure.id) : []
  const toPutIn = slots.map((slot) => toolLabel(now, slot))
  const write = (failure: string) =>
    act.run(
      () => failStep(store, job, asked, failure, slots),
      t(words.recordedThen),
      () => to('redo'),
    )
  return (
    <Frame
      {...framed}
      title={t(words.whatIsItLike)}
      side={<BackKey back={() => toStep()} />}
      main={
        failure ? (
          <RecordKey
            label={t(words.itIsSo)}
            {...(toPutIn.length === 0 ? {} : { note: t(words.pinsIn, { toPutIn: toPutIn.length }) })}
            onHeld={() => write(failure.id)}
          />
        ) : (
          <MissingKey label={t(words.chooseAbove)} />
        )
      }
    >
      <Choice
        label={t(words.whatIsItLike)}
        rows={asked.step.fails.map(({ id, says }) => ({ id, says }))}
        chosen={chosen}
        onChoose={setChosen}
      />
      {toPutIn.length > 0 && (
        <div class="caution">
          <Sign name="warning" size={36} />
          <p>{t(words.putPinsIn, { toPutIn: toPutIn.join(', ') })}</p>
        </div>
      )}
      {failure ? (
        <p>{failure.then}</p>
      ) : (
        <ul class="rows">
          <RowKey onPress={() => to('found', 'new', asked.step.id)} note={t(words.besideTheWork)}>
            {t(words.foundSomething)}
          </RowKey>
          <RowKey onPress={() => to('note', asked.step.id)} note={t(words.writeNote)}>
            {t(words.noneOfThese)}
          </RowKey>
        </ul>
      )}
    </Frame>
  )
}

/** What is undone and redone in order, with what may stay. */
export function RedoScreen({ head, now, to, onward }: InJob) {
  const redo = redoOf(now)
  const [first] = redo.ways
  return (
    <Frame
      head={head}
      title={redo.title}
      side={<OrderKey to={to} />}
      main={
        first ? (
          <PlainKey
            label={redo.count > 1 ? t(words.beginWith1) : t(words.goThere)}
            note={lower(first.title)}
            onPress={onward}
          />
        ) : (
          <PlainKey label={t(words.goOn)} onPress={onward} />
        )
      }
    >
      <p>{redo.then}</p>
      <BigRule steps={redo.rule} now={redo.nowNumber} />
      <ol class="ways">
        {redo.ways.map((way, i) => (
          <li>
            <span class="way-number" aria-hidden="true">
              {i + 1}
            </span>
            <span>
              {way.title}
              {way.because !== '' && <small>{way.because}</small>}
            </span>
          </li>
        ))}
      </ol>
      <p class="then">
        <Seal state={redo.broken.length ? 'broken' : 'todo'} size={34} />
        <span>{redo.stay}</span>
      </p>
      {redo.parts !== '' && <p>{redo.parts}</p>}
    </Frame>
  )
}
