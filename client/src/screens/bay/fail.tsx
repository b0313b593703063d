/** It is not like that: the step's failures in words, then the redo that follows. */
import { useState } from 'preact/hooks'
import { Choice } from '../../parts/choice'
import { MissingKey, PlainKey, SideKey } from '../../parts/keys'
import type { HeadProps } from '../../parts/head'
import { BigRule } from '../../parts/rule'
import { Seal } from '../../parts/seal'
import { Sign } from '../../parts/signs'
import type { Trouble } from '../../store'
import { Frame } from './frame'
import { RowKey } from './rows'
import type { JobNow, StepNow } from '../../work/job'
import { lower } from '../../work/letters'
import { redoOf } from '../../work/redo'
import { pinsToPutIn, toolLabel } from '../../work/step-tools'
import { failStep } from '../../work/write'
import * as words from '../../words/en/bay/fail'
import { t } from '../../words/message'
import { BackKey, RecordKey } from './act-keys'
import type { InStep } from './in-job'

interface FailProps {
  head: HeadProps
  asked: StepNow
  trouble: Trouble | null
  /** Pins that hang on the board and have to be in their holes when this failure is told. */
  pins: (failure: string) => readonly string[]
  write: (failure: string) => Promise<void>
  note: () => void
  /** To what is found beside the step's own work. */
  found: () => void
  back: () => void
}

/** The step's failures in words; what one of them leaves behind is written with it. */
export function Fail({ now, asked, act, head, store, job, to, toStep }: InStep) {
  const putIn = (failure: string) => pinsToPutIn(now, asked, failure)
  const write = (failure: string) =>
    act.run(
      () => failStep(store, job, asked, failure, putIn(failure)),
      t(words.recordedThen),
      () => to('redo'),
    )
  const pins = (failure: string) => putIn(failure).map((slot) => toolLabel(now, slot))
  return (
    <FailScreen
      head={head}
      asked={asked}
      trouble={act.trouble}
      pins={pins}
      write={write}
      note={() => to('note', asked.step.id)}
      found={() => to('found', 'new', asked.step.id)}
      back={() => toStep()}
    />
  )
}

function FailScreen({ head, asked, trouble, pins, write, note, found, back }: FailProps) {
  const [chosen, setChosen] = useState<string | null>(null)
  const failure = asked.step.fails.find(({ id }) => id === chosen)
  const toPutIn = failure ? pins(failure.id) : []
  return (
    <Frame
      head={head}
      title={t(words.whatIsItLike)}
      trouble={trouble}
      side={<BackKey back={back} />}
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
          <RowKey onPress={found} note={t(words.besideTheWork)}>
            {t(words.foundSomething)}
          </RowKey>
          <RowKey onPress={note} note={t(words.writeNote)}>
            {t(words.noneOfThese)}
          </RowKey>
        </ul>
      )}
    </Frame>
  )
}

/** What is undone and redone in order, with what may stay. */
export function RedoScreen({
  head,
  now,
  goTo,
  order,
}: {
  head: HeadProps
  now: JobNow
  goTo: () => void
  order: () => void
}) {
  const redo = redoOf(now)
  const [first] = redo.ways
  return (
    <Frame
      head={head}
      title={redo.title}
      side={<SideKey icon="lines" label={t(words.orderOfWork)} onPress={order} />}
      main={
        first ? (
          <PlainKey
            label={redo.count > 1 ? t(words.beginWith1) : t(words.goThere)}
            note={lower(first.title)}
            onPress={goTo}
          />
        ) : (
          <PlainKey label={t(words.goOn)} onPress={goTo} />
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
