/** A form's draft: what stands in its fields, and what was found wrong with each when it was sent. */
import { useState } from 'preact/hooks'
import { letGo, useTyped } from '../office/kept'
import type { Checked, Faults } from './drafts'

type Drafted<D> = { [K in keyof D]: string }

/**
 * @param name under which it is kept while other pages are looked at: what it is, and of what
 * @param leave out of the form, once it has been stated
 */
export function useDraft<D extends Drafted<D>>(name: string, start: D, leave: () => void = () => undefined) {
  const [draft, setDraft] = useTyped<D>(`draft/${name}`, start)
  const [faults, setFaults] = useState<Faults<D>>({})
  const set = (changed: Partial<D>) => setDraft({ ...draft, ...changed })
  return {
    draft,
    set,
    /** What a `Field` takes of the draft. */
    of: (field: keyof D) => ({
      value: draft[field],
      onValue: (value: string) => set({ [field]: value } as Partial<D>),
      fault: faults[field],
    }),
    /** Show what was found; the body to be stated, or null where something was. */
    judged: <B>(checked: Checked<D, B>): B | null => {
      setFaults(checked.ok ? {} : checked.faults)
      return checked.ok ? checked.body : null
    },
    /** What was drafted has been stated. */
    done: () => {
      letGo(`draft/${name}`)
      leave()
    },
  }
}

/**
 * Of a form of one line.
 *
 * @param faultOf what is wrong with it as it would be stated
 */
export function useLine(name: string, faultOf: (line: string) => string | undefined, leave: () => void) {
  const { of, judged, done, draft } = useDraft(name, { line: '' }, leave)
  return {
    of: of('line'),
    /** As it is stated; null where something is wrong with it. */
    judged: (): string | null => {
      const line = draft.line.normalize('NFC').trim()
      const fault = faultOf(line)
      return judged(fault === undefined ? { ok: true, body: line } : { ok: false, faults: { line: fault } })
    },
    done,
  }
}
