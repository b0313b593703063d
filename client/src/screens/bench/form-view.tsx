/** The other view of a source: its words and figures as fields. Each field changes its own place in the text alone. */
import { useState } from 'preact/hooks'
import type { Document } from 'yaml'
import type { DraftAnswer } from '../../ledger/answers'
import type { Bundle } from '../../procedure/bundle'
import type { Step } from '../../procedure/shape'
import type { ReadPicture } from '../bay/step-picture'
import type { Rooms } from '../rooms'
import { BlocksForm } from './blocks-form'
import { lengthAt, lineOf, namesAt, readSource, withMoved, wordsAt, type Path } from './edits'
import { listedSteps, withStepEntry, type ListedStep } from './listed-steps'
import { Words } from './fields'
import { Choose } from '../office/choose'
import { freshName, stepOf } from './starters'
import { StepForm } from './step-form'
import { StepPictureForm } from './step-picture-form'
import { without, withAll, withInserted, type Put } from './structure'
import { TorqueTable } from './torque-table'
import { TextKey } from '../text-key'
import * as words from '../../words/en/bench/form-view'
import { t } from '../../words/message'

interface FormViewProps {
  rooms: Rooms
  text: string
  /** As it compiled last; null before it does. */
  bundle: Bundle | null
  /** The step that was chosen, or in which the cursor is. */
  step: string | null
  pictures: DraftAnswer['pictures']
  readPicture: ReadPicture
  write: (text: string) => void
  /** Put the cursor into a line, from 1, and say which step is meant there. */
  show: (line: number, step: string) => void
}

const HEAD = ['name', 'edition', 'vehicle'] as const

export function FormView({ rooms, text, bundle, step, pictures, readPicture, write, show }: FormViewProps) {
  const [said, say] = useState('')
  const document = readSource(text)
  if (document === null) return <p class="d-text">{t(words.noYaml)}</p>
  const steps = listedSteps(document, bundle)
  const chosen = steps.find(({ name }) => name === step) ?? steps[0]
  const become = (changed: string | null, done = '') => {
    if (changed !== null) write(changed)
    say(changed === null ? t(words.cannot) : done)
  }
  const put: Put = (...changes) => become(withAll(text, changes))
  const choose = (name: string, at: Path) => show(lineOf(text, document, at), name)
  const compiled = bundle?.steps.find(({ id }) => id === chosen?.name) ?? null
  const isWritten = (each: ListedStep): each is Written => each.at !== null
  return (
    <section class="bench-form">
      <p role="status">{said}</p>
      <h2 class="phase-head">{t(words.procedure)}</h2>
      {HEAD.map((name) => (
        <Words
          key={name}
          label={t(words.fields[name])}
          value={wordsAt(document, [name]) ?? ''}
          onValue={(value) => put([[name], value])}
        />
      ))}
      <BlocksForm rooms={rooms} document={document} put={put} />
      {chosen && (
        <>
          <h2 class="phase-head">{t(words.step)}</h2>
          <Choose
            label={t(words.whichStep)}
            value={chosen.name}
            onValue={(name) => choose(name, steps.find((each) => each.name === name)!.stands)}
            options={steps.map(({ name, says }) => ({ value: name, words: says }))}
          />
          {isWritten(chosen) ? (
            <>
              <StepForm document={document} at={chosen.at} compiled={compiled} put={put} />
              <StepPictureForm
                document={document}
                at={chosen.at}
                pictures={pictures}
                readPicture={readPicture}
                put={put}
              />
              <Order text={text} document={document} steps={steps} chosen={chosen} become={become} />
            </>
          ) : (
            <OfBlock
              step={compiled}
              change={() => become(withStepEntry(text, chosen.name), t(words.mayChange))}
            />
          )}
        </>
      )}
      {bundle && (
        <TorqueTable
          document={document}
          bundle={bundle}
          change={(path, value) => put([path, value])}
          choose={choose}
        />
      )}
    </section>
  )
}

/** A step of a block, as it comes from there, and the key by which it is said otherwise. */
function OfBlock({ step, change }: { step: Step | null; change: () => void }) {
  return (
    <>
      {step && (
        <>
          <p class="d-text">
            <b>{step.title}</b>
          </p>
          {step.says.map((sentence) => (
            <p class="d-text" key={sentence}>
              {sentence}
            </p>
          ))}
          {step.because !== undefined && <p class="d-small">{step.because}</p>}
        </>
      )}
      <p class="d-text">{t(words.ofBlock)}</p>
      <p class="step-acts">
        <TextKey says={t(words.changeIt)} onPress={change} />
      </p>
    </>
  )
}

type Written = ListedStep & { at: NonNullable<ListedStep['at']> }

interface OrderProps {
  text: string
  document: Document
  steps: readonly ListedStep[]
  chosen: Written
  become: (changed: string | null, done: string) => void
}

/** Where the step stands, a new one behind it, and without it. */
function Order({ text, document, steps, chosen, become }: OrderProps) {
  const [, nth] = chosen.at
  const last = lengthAt(document, ['steps']) - 1
  const move = (by: -1 | 1) => become(withMoved(text, ['steps'], nth, by), t(words.moved))
  const add = () => {
    const number = wordsAt(document, [...chosen.at, 'number'])
    const phase = wordsAt(document, [...chosen.at, 'phase']) ?? namesAt(document, ['phases'])[0] ?? ''
    const id = freshName(
      'new_step',
      steps.map(({ name }) => name),
    )
    const made = stepOf(id, number === null ? null : nextNumber(number), phase)
    become(withInserted(text, ['steps'], nth + 1, made), t(words.added))
  }
  return (
    <p class="step-acts">
      <TextKey says={t(words.earlier)} onPress={() => move(-1)} disabled={nth === 0} />
      <TextKey says={t(words.later)} onPress={() => move(1)} disabled={nth === last} />
      <TextKey says={t(words.addStep)} onPress={add} />
      <TextKey
        says={t(words.takeStepOut)}
        onPress={() => become(without(text, chosen.at), t(words.takenOut))}
        disabled={last === 0}
      />
    </p>
  )
}

/** The number of a step that comes in behind one: `12` and `12a`, `12a` and `12b`. */
function nextNumber(number: string): string {
  const letter = /[a-y]$/.exec(number)?.[0]
  return letter ? number.slice(0, -1) + String.fromCharCode(letter.charCodeAt(0) + 1) : `${number}a`
}
