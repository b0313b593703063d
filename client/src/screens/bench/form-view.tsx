/** The other view of a source: its words and figures as fields. Each field changes its own place in the text alone. */
import { useState } from 'preact/hooks'
import { Choice, Words } from './fields'
import { lengthAt, lineOf, readSource, withMoved, withWords, wordsAt, type Path } from './edits'
import { TorqueTable } from './torque-table'
import * as words from '../../words/en/bench/form-view'
import { t } from '../../words/message'

interface FormViewProps {
  text: string
  /** The step in which the cursor is. */
  step: string | null
  write: (text: string) => void
  /** Put the cursor into a line, from 1. */
  show: (line: number) => void
}

const HEAD = ['name', 'edition', 'vehicle'] as const
const STEP = ['title', 'act', 'because'] as const
const PROOF = ['label', 'low', 'high', 'target', 'hint'] as const

export function FormView({ text, step, write, show }: FormViewProps) {
  const document = readSource(text)
  if (document === null) return <p class="d-text">{t(words.noYaml)}</p>
  const steps = [...Array(lengthAt(document, ['steps'])).keys()]
  const names = steps.map((at) => wordsAt(document, ['steps', at, 'id']) ?? '')
  const index = Math.max(0, names.indexOf(step ?? ''))
  const change = (path: Path, said: string) => {
    const changed = withWords(text, path, said)
    if (changed !== null) write(changed)
  }
  const field = (path: Path, label: string) => {
    const said = wordsAt(document, path)
    return said === null ? null : (
      <Words key={path.join(' ')} label={label} value={said} onValue={(value) => change(path, value)} />
    )
  }
  const choose = (at: number) => show(lineOf(text, document, ['steps', at, 'id']))
  return (
    <section class="bench-form">
      <h2 class="phase-head">{t(words.procedure)}</h2>
      {HEAD.map((name) => field([name], t(words.fields[name])))}
      {steps.length > 0 && (
        <>
          <h2 class="phase-head">{t(words.step)}</h2>
          <Choice
            label={t(words.whichStep)}
            value={String(index)}
            onValue={(value) => choose(Number(value))}
            options={steps.map((at) => ({
              value: String(at),
              words: `${wordsAt(document, ['steps', at, 'number']) ?? '-'} ${wordsAt(document, ['steps', at, 'title']) ?? names[at]}`,
            }))}
          />
          <StepFields at={['steps', index]} document={document} field={field} />
          <Order text={text} index={index} last={steps.length - 1} write={write} />
        </>
      )}
      <TorqueTable document={document} change={change} choose={choose} />
    </section>
  )
}

interface StepFieldsProps {
  at: Path
  document: NonNullable<ReturnType<typeof readSource>>
  field: (path: Path, label: string) => preact.JSX.Element | null
}

function StepFields({ at, document, field }: StepFieldsProps) {
  const proofs = [...Array(lengthAt(document, [...at, 'proof'])).keys()]
  const says = [...Array(lengthAt(document, [...at, 'says'])).keys()]
  const name = (nth: number) => wordsAt(document, [...at, 'proof', nth, 'name']) ?? String(nth + 1)
  return (
    <>
      {STEP.map((each) => field([...at, each], t(words.fields[each])))}
      {says.map((nth) => field([...at, 'says', nth], t(words.sentence, { n: nth + 1 })))}
      {field([...at, 'caution', 'says'], t(words.caution))}
      {proofs.map((nth) => (
        <fieldset key={nth}>
          <legend>{t(words.proof, { name: name(nth) })}</legend>
          {PROOF.map((each) => field([...at, 'proof', nth, each], t(words.fields[each])))}
        </fieldset>
      ))}
    </>
  )
}

function Order({
  text,
  index,
  last,
  write,
}: {
  text: string
  index: number
  last: number
  write: (text: string) => void
}) {
  const [said, say] = useState('')
  const move = (by: -1 | 1) => {
    const moved = withMoved(text, ['steps'], index, by)
    if (moved !== null) write(moved)
    say(moved === null ? t(words.cannotMove) : t(words.moved))
  }
  return (
    <p class="step-acts">
      <button type="button" class="text-key" disabled={index === 0} onClick={() => move(-1)}>
        {t(words.earlier)}
      </button>
      <button type="button" class="text-key" disabled={index === last} onClick={() => move(1)}>
        {t(words.later)}
      </button>{' '}
      <span role="status">{said}</span>
    </p>
  )
}
