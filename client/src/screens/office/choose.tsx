/** One of several, chosen from a list: a field of every form at the desk. */
import { useId } from 'preact/hooks'

interface ChooseProps {
  label: string
  value: string
  hint?: string | undefined
  onValue: (value: string) => void
  options: readonly { value: string; words: string }[]
}

export function Choose({ label, value, hint, onValue, options }: ChooseProps) {
  const id = useId()
  return (
    <div class="desk-field">
      <label for={id}>{label}</label>
      {hint && <p class="d-small">{hint}</p>}
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
