/** Fields of the form: what is typed goes into the text when the field is left, or Enter is pressed. */
import { useEffect, useId, useState } from 'preact/hooks'

interface WordsProps {
  label: string
  value: string
  onValue: (value: string) => void
}

export function Words({ label, value, onValue }: WordsProps) {
  const id = useId()
  const [typed, setTyped] = useState(value)
  useEffect(() => setTyped(value), [value])
  const done = () => typed !== value && onValue(typed)
  return (
    <div class="desk-field">
      <label for={id}>{label}</label>
      <input
        id={id}
        value={typed}
        autocomplete="off"
        onInput={(event) => setTyped(event.currentTarget.value)}
        onBlur={done}
        onKeyDown={(event) => event.key === 'Enter' && done()}
      />
    </div>
  )
}

interface ChoiceProps extends WordsProps {
  options: readonly { value: string; words: string }[]
}

export function Choice({ label, value, onValue, options }: ChoiceProps) {
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
