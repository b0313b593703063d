/** The parts of a form at the desk: a field with its refusal beside it, and the form around them. */
import type { ComponentChildren } from 'preact'
import { useEffect, useId, useRef, useState } from 'preact/hooks'
import { useKeeping } from '../keeping'
import { TroubleLine } from '../office/shell'
import { TextKey } from '../text-key'
import * as says from '../../words/en/desk/form'
import { t } from '../../words/message'

interface FramedProps {
  label: string
  hint?: string | undefined
  fault?: string | undefined
}

/** Around what is filled in, of whatever sort: its name, what to know of it, and what is wrong with it. */
export function Framed({
  label,
  hint,
  fault,
  children,
}: FramedProps & { children: (named: InputNames) => ComponentChildren }) {
  const id = useId()
  const described = [`${id}-hint`, `${id}-fault`].join(' ')
  return (
    <div class="desk-field">
      <label for={id}>{label}</label>
      {hint !== undefined && (
        <p id={`${id}-hint`} class="d-small">
          {hint}
        </p>
      )}
      {children({ id, 'aria-invalid': fault !== undefined, 'aria-describedby': described })}
      <p id={`${id}-fault`} class="field-fault">
        {fault}
      </p>
    </div>
  )
}

/** What ties an input to the words around it. */
interface InputNames {
  id: string
  'aria-invalid': boolean
  'aria-describedby': string
}

interface FieldProps extends FramedProps {
  value: string
  onValue: (value: string) => void
  type?: 'text' | 'date' | 'datetime-local'
  inputMode?: 'decimal' | 'text'
  list?: string
}

export function Field({ label, hint, fault, value, onValue, type = 'text', inputMode, list }: FieldProps) {
  return (
    <Framed label={label} hint={hint} fault={fault}>
      {(named) => (
        <input
          {...named}
          type={type}
          value={value}
          autocomplete="off"
          {...(inputMode === undefined ? {} : { inputMode })}
          {...(list === undefined ? {} : { list })}
          onInput={(event) => onValue(event.currentTarget.value)}
        />
      )}
    </Framed>
  )
}

interface DeskFormProps {
  title: string
  submit: string
  /** Null while something in the fields is to be put right: the first such field then takes the focus. */
  act: () => Promise<void> | null
  leave?: () => void
  children: ComponentChildren
}

/** What was typed stays when it was refused or not kept. */
export function DeskForm({ title, submit, act, leave, children }: DeskFormProps) {
  const form = useRef<HTMLFormElement>(null)
  const { isBusy, trouble, keep } = useKeeping()
  const [tries, setTries] = useState(0)
  useEffect(() => {
    if (tries > 0) form.current?.querySelector<HTMLElement>('[aria-invalid="true"]')?.focus()
  }, [tries])
  const send = async () => {
    const acting = act()
    if (!acting) return setTries(tries + 1)
    await keep(() => acting)
  }
  return (
    <form
      ref={form}
      class="desk-form"
      noValidate
      onSubmit={(event) => {
        event.preventDefault()
        void send()
      }}
    >
      <h2 class="phase-head">{title}</h2>
      {children}
      <TroubleLine trouble={trouble} />
      <p class="step-acts">
        <button type="submit" class="text-key text-key-main" disabled={isBusy}>
          {submit}
        </button>
        {leave && <TextKey says={t(says.leaveIt)} onPress={leave} />}
      </p>
    </form>
  )
}
