/** The parts of a form at the desk: a field with its refusal beside it, and the form around them. */
import type { ComponentChildren } from 'preact'
import { useEffect, useId, useRef, useState } from 'preact/hooks'
import { NotKept, type Trouble } from '../../store'
import { TroubleLine } from '../office/shell'
import * as says from '../../words/en/desk/form'
import { t } from '../../words/message'

interface FieldProps {
  label: string
  hint?: string
  fault: string | undefined
  value: string
  onValue: (value: string) => void
  type?: 'text' | 'date'
  inputMode?: 'decimal'
  list?: string
}

export function Field({ label, hint, fault, value, onValue, type = 'text', inputMode, list }: FieldProps) {
  const id = useId()
  return (
    <div class="desk-field">
      <label for={id}>{label}</label>
      {hint !== undefined && (
        <p id={`${id}-hint`} class="d-small">
          {hint}
        </p>
      )}
      <input
        id={id}
        type={type}
        value={value}
        autocomplete="off"
        {...(inputMode === undefined ? {} : { inputMode })}
        {...(list === undefined ? {} : { list })}
        aria-invalid={fault !== undefined}
        aria-describedby={`${id}-hint ${id}-fault`}
        onInput={(event) => onValue(event.currentTarget.value)}
      />
      <p id={`${id}-fault`} class="field-fault">
        {fault}
      </p>
    </div>
  )
}

export function Choose({
  label,
  value,
  onValue,
  options,
}: {
  label: string
  value: string
  onValue: (value: string) => void
  options: readonly { value: string; words: string }[]
}) {
  const id = useId()
  return (
    <div class="desk-field">
      <label for={id}>{label}</label>
      <select id={id} value={value} onChange={(event) => onValue(event.currentTarget.value)}>
        {options.map((each) => (
          <option key={each.value} value={each.value}>
            {each.words}
          </option>
        ))}
      </select>
    </div>
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
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const [isBusy, setBusy] = useState(false)
  const [tries, setTries] = useState(0)
  useEffect(() => {
    if (tries > 0) form.current?.querySelector<HTMLElement>('[aria-invalid="true"]')?.focus()
  }, [tries])
  const send = async () => {
    const acting = act()
    if (!acting) return setTries(tries + 1)
    setBusy(true)
    setTrouble(null)
    try {
      await acting
    } catch (error) {
      if (!(error instanceof NotKept)) throw error
      setTrouble(error.trouble)
    } finally {
      setBusy(false)
    }
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
        {leave && (
          <button type="button" class="text-key" onClick={leave}>
            {t(says.leaveIt)}
          </button>
        )}
      </p>
    </form>
  )
}

interface FormKeyProps {
  label: string
  /** The page's foremost key. */
  isMain?: boolean
  children: (leave: () => void) => ComponentChildren
}

/** A key, and in its place the form that it opens, until that is left. */
export function FormKey({ label, isMain = false, children }: FormKeyProps) {
  const [isOpen, setOpen] = useState(false)
  if (isOpen) return <>{children(() => setOpen(false))}</>
  return (
    <button
      type="button"
      class={isMain ? 'text-key text-key-main under-list' : 'text-key under-list'}
      onClick={() => setOpen(true)}
    >
      {label}
    </button>
  )
}
