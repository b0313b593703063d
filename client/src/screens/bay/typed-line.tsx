/** A line that is typed by the phone's own keys, and cut where it is longer than it may be. */
import { EntryLine } from '../../parts/pad'

interface TypedLineProps {
  id: string
  label: string
  value: string
  mode: 'tel' | 'text'
  longest: number
  onValue: (value: string) => void
}

export const TypedLine = ({ longest, onValue, ...line }: TypedLineProps) => (
  <div>
    <EntryLine {...line} onValue={(text) => onValue(text.slice(0, longest))} />
  </div>
)
