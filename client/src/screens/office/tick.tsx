/** A wish that is ticked or not, with its words. */
import type { ComponentChildren } from 'preact'

interface TickProps {
  isOn: boolean
  set: (isOn: boolean) => void
  children: ComponentChildren
}

export function Tick({ isOn, set, children }: TickProps) {
  return (
    <label>
      <input type="checkbox" checked={isOn} onChange={(event) => set(event.currentTarget.checked)} />{' '}
      {children}
    </label>
  )
}
