/** The short acts of a job: look at a condition, reopen a step, add a note, take the job over, answer the owner, see a stop. */
import { useState } from 'preact/hooks'
import { Choice } from '../../parts/choice'
import { HoldKey, MissingKey, PlainKey, SideKey } from '../../parts/keys'
import type { HeadProps } from '../../parts/head'
import { BigRule } from '../../parts/rule'
import type { Trouble } from '../../store'
import { Words, asWords } from './bits'
import { Drawing } from './drawing'
import { Frame } from './frame'
import type { JobNow, LookNow, QuestionNow, StepNow } from '../../work/job'
import { numbersInWords } from '../../work/redo'
import type { StopNow } from '../../work/questions'

interface ActProps {
  head: HeadProps
  trouble: Trouble | null
  back: () => void
}

export function LookScreen({
  head,
  trouble,
  now,
  look,
  seen,
  order,
}: ActProps & { now: JobNow; look: LookNow; seen: (value: string) => Promise<void>; order: () => void }) {
  const [chosen, setChosen] = useState<string | null>(null)
  const value = look.values.find(({ id }) => id === chosen)
  return (
    <Frame
      head={head}
      title={look.label}
      trouble={trouble}
      deck={
        <>
          <SideKey icon="lines" label="order of work" onPress={order} />
          {value ? (
            <HoldKey
              label="It is so"
              note="hold to record"
              done="on this phone"
              onHeld={() => seen(value.id)}
            />
          ) : (
            <MissingKey label="Look first" note="then choose above" />
          )}
        </>
      }
    >
      <p>{look.because}</p>
      <Choice label={look.label} rows={look.values} chosen={chosen} onChoose={setChosen} />
      {look.at.length > 0 && <Drawing now={now} look={look.at} />}
    </Frame>
  )
}

export function ReopenScreen({
  head,
  trouble,
  now,
  asked,
  price,
  reopen,
  back,
}: ActProps & {
  now: JobNow
  asked: StepNow
  price: readonly StepNow[]
  reopen: (because: string) => Promise<void>
}) {
  const [words, setWords] = useState('')
  const because = asWords(words)
  const numbers = price.map(({ step }) => step.number).filter(Boolean)
  const around = now.steps
    .filter(({ step }) => step.number !== '')
    .map(({ step, seal }) => ({
      number: step.number,
      state: price.some((each) => each.step.id === step.id) ? ('broken' as const) : seal,
    }))
  const at = around.findIndex(({ number }) => number === asked.step.number)
  return (
    <Frame
      head={head}
      title={`Do ${asked.step.number || 'it'} again?`}
      trouble={trouble}
      deck={
        <>
          <SideKey icon="back" label="no, back" onPress={back} />
          {because === '' ? (
            <MissingKey label="Why first" note="one sentence" />
          ) : (
            <HoldKey
              label={`Open ${asked.step.number || 'it'} again`}
              note={`breaks ${numbers.length} ${numbers.length === 1 ? 'seal' : 'seals'}`}
              done="on this phone"
              onHeld={() => reopen(because)}
            />
          )}
        </>
      }
    >
      <p>{asked.step.title}.</p>
      <p class="stop-words">
        {numbers.length
          ? `This breaks ${numbers.length === 1 ? 'the seal of' : 'the seals of'} ${numbersInWords(numbers)}.`
          : 'This breaks no other seal.'}
      </p>
      <BigRule steps={around.slice(Math.max(0, at - 2), Math.max(0, at - 2) + 11)} now={null} />
      <Words label="Why is it to be done again?" value={words} onValue={setWords} />
    </Frame>
  )
}

export function NoteScreen({
  head,
  trouble,
  about,
  keep,
  back,
}: ActProps & { about: StepNow | null; keep: (text: string) => Promise<void> }) {
  const [words, setWords] = useState('')
  const text = asWords(words)
  return (
    <Frame
      head={head}
      title={about ? `A note on ${about.step.number || about.step.title}` : 'A note on the job'}
      trouble={trouble}
      deck={
        <>
          <SideKey icon="back" label="back" onPress={back} />
          {text === '' ? (
            <MissingKey label="No words yet" />
          ) : (
            <HoldKey
              label="Keep the note"
              note="hold to record"
              done="on this phone"
              onHeld={() => keep(text)}
            />
          )}
        </>
      }
    >
      <Words label="What the owner should know" value={words} onValue={setWords} />
      <p class="soft">A note changes nothing in the order of work. The owner sees it.</p>
    </Frame>
  )
}

export function TakeScreen({
  head,
  trouble,
  before,
  since,
  take,
  back,
}: ActProps & { before: string; since: string; take: () => Promise<void> }) {
  return (
    <Frame
      head={head}
      title={`${before} worked on this job last`}
      trouble={trouble}
      deck={
        <>
          <SideKey icon="lines" label="all jobs" onPress={back} />
          <HoldKey label="I go on with it" note="hold to record" done="on this phone" onHeld={take} />
        </>
      }
    >
      <p>{since}</p>
      <p>Whatever may have been left half done is looked at first, one thing at a time.</p>
    </Frame>
  )
}

export interface QuestionProps extends ActProps {
  now: JobNow
  question: QuestionNow
  /** Null while the words are not on this phone. */
  words: string | null
  answer: (words: string) => Promise<void>
  photo: () => void
  reopen: () => void
}

export function QuestionScreen({
  head,
  trouble,
  question,
  words,
  answer,
  photo,
  reopen,
  back,
}: QuestionProps) {
  const [typed, setTyped] = useState('')
  const text = asWords(typed)
  const { step } = question
  return (
    <Frame
      head={head}
      title={`The owner asks about ${step.step.number || 'a step'}`}
      trouble={trouble}
      deck={
        <>
          <SideKey icon="back" label="later" onPress={back} />
          {text === '' ? (
            <PlainKey label="Answer with a photo" onPress={photo} />
          ) : (
            <HoldKey label="Answer" note="hold to record" done="on this phone" onHeld={() => answer(text)} />
          )}
        </>
      }
    >
      <p>
        <b>{step.step.title}</b>
      </p>
      <p>{words ?? 'The words of the question are not on this phone yet. They come with the next signal.'}</p>
      <Words label="Answer in words" value={typed} onValue={setTyped} />
      <ul class="rows">
        <li>
          <button type="button" class="row-key" onClick={reopen}>
            <span class="row-words">
              Do the step again
              <small>its price is shown first</small>
            </span>
          </button>
        </li>
      </ul>
    </Frame>
  )
}

/** A workshop's statement that meets this job: a lot, a wrench, an edition. Shown before the next step. */
export function StopScreen({
  head,
  trouble,
  stop,
  seen,
  back,
}: ActProps & { stop: StopNow; seen: () => Promise<void> }) {
  return (
    <Frame
      head={head}
      title={stop.fact}
      trouble={trouble}
      deck={
        <>
          <SideKey icon="lines" label="order of work" onPress={back} />
          <HoldKey label="It is seen" note="hold to record" done="on this phone" onHeld={seen} />
        </>
      }
    >
      <p class="stop-words">{stop.because}</p>
      <p>{stop.hint}</p>
    </Frame>
  )
}

/** No way on: a right end is still one, and the owner decides. */
export function BlockedScreen({
  head,
  why,
  note,
  order,
}: {
  head: HeadProps
  why: string
  note: () => void
  order: () => void
}) {
  return (
    <Frame
      head={head}
      title="There is no way on from here"
      deck={
        <>
          <SideKey icon="pen" label="add a note" onPress={note} />
          <PlainKey label="Order of work" note="or close the job" onPress={order} />
        </>
      }
    >
      <p>{why}</p>
      <p>The owner decides how it goes on. Call the owner before anything else is moved.</p>
    </Frame>
  )
}
