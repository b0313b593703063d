/** Fields of the form: what is typed goes into the text when the field is left, or Enter is pressed. */
import { useEffect, useId, useState } from 'preact/hooks'
import { Choose } from '../office/choose'
import * as words from '../../words/en/bench/fields'
import { t } from '../../words/message'

interface WordsProps {
  label: string
  value: string
  hint?: string | undefined
  onValue: (value: string) => void
  /** Take the field out; absent where it must stay. */
  takeOut?: (() => void) | undefined
}

export function Words({ label, value, hint, onValue, takeOut }: WordsProps) {
  const id = useId()
  const [typed, setTyped] = useState(value)
  useEffect(() => setTyped(value), [value])
  const done = () => typed !== value && onValue(typed)
  return (
    <div class="desk-field">
      <label for={id}>{label}</label>
      {hint && <p class="d-small">{hint}</p>}
      <span class="bench-field">
        <input
          id={id}
          value={typed}
          autocomplete="off"
          onInput={(event) => setTyped(event.currentTarget.value)}
          onBlur={done}
          onKeyDown={(event) => event.key === 'Enter' && done()}
        />
        {takeOut && <TakeOut what={label} onPress={takeOut} />}
      </span>
    </div>
  )
}

export function TakeOut({ what, onPress }: { what: string; onPress: () => void }) {
  return (
    <button type="button" class="text-key bench-take-out" onClick={onPress}>
      {t(words.takeOut)} <span class="unseen">{what}</span>
    </button>
  )
}

/** Something chosen out of what may be added, and the key that adds it. */
export function Adding<T extends string>({
  label,
  options,
  add,
}: {
  label: string
  options: readonly { value: T; words: string }[]
  add: (value: T) => void
}) {
  const [chosen, choose] = useState<T | null>(null)
  const value = options.find((each) => each.value === chosen)?.value ?? options[0]?.value
  if (value === undefined) return null
  return (
    <div class="bench-adding">
      <Choose label={label} value={value} options={options} onValue={(each) => choose(each as T)} />
      <button type="button" class="text-key" onClick={() => add(value)}>
        {t(words.add)} <span class="unseen">{label}</span>
      </button>
    </div>
  )
}
