/** A form's draft: what stands in its fields, and what was found wrong with each when it was sent. */
import { useState } from 'preact/hooks'
import type { Checked, Faults } from './drafts'

type Drafted<D> = { [K in keyof D]: string }

export function useDraft<D extends Drafted<D>>(start: D) {
  const [draft, setDraft] = useState<D>(start)
  const [faults, setFaults] = useState<Faults<D>>({})
  const set = (changed: Partial<D>) => setDraft({ ...draft, ...changed })
  return {
    draft,
    set,
    /** What a `Field` takes of the draft. */
    of: (name: keyof D) => ({
      value: draft[name],
      onValue: (value: string) => set({ [name]: value } as Partial<D>),
      fault: faults[name],
    }),
    /** Show what was found; the body to be stated, or null where something was. */
    judged: <B>(checked: Checked<D, B>): B | null => {
      setFaults(checked.ok ? {} : checked.faults)
      return checked.ok ? checked.body : null
    },
  }
}
