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
import type { JobNow, StepNow } from '../../work/job'
import { lower } from '../../work/letters'
import { redoOf } from '../../work/redo'
import * as words from '../../words/en/bay/fail'
import { t } from '../../words/message'
import { BackKey, RecordKey } from './act-keys'

interface FailProps {
  head: HeadProps
  asked: StepNow
  trouble: Trouble | null
  /** Pins that hang on the board and have to be in their holes when this failure is told. */
  pins: (failure: string) => readonly string[]
  write: (failure: string) => Promise<void>
  note: () => void
  back: () => void
}

export function FailScreen({ head, asked, trouble, pins, write, note, back }: FailProps) {
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
        <div class="caution caution-wide">
          <Sign name="warning" size={36} />
          <p>{t(words.putPinsIn, { toPutIn: toPutIn.join(', ') })}</p>
        </div>
      )}
      {failure ? (
        <p>{failure.then}</p>
      ) : (
        <button type="button" class="row-key" onClick={note}>
          <span class="row-words">
            {t(words.noneOfThese)}
            <small>{t(words.writeNote)}</small>
          </span>
        </button>
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
      <p class="then">
        <Seal state={redo.broken.length ? 'broken' : 'todo'} size={34} />
        <span>{redo.stay}</span>
      </p>
      {redo.parts !== '' && <p>{redo.parts}</p>}
      <ol class="ways">
        {redo.ways.slice(0, 3).map((way, i) => (
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
    </Frame>
  )
}
