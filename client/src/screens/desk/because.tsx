import { useState } from 'preact/hooks'
import * as words from '../../words/en/desk/because'
import { t } from '../../words/message'
import { becauseFault } from './drafts'
import { Field } from './form'

/** The reason of a statement: its field, its words as they are stated, and whether they will do. */
export function useBecause(hint: string) {
  const [typed, setTyped] = useState('')
  const [fault, setFault] = useState<string | undefined>(undefined)
  const because = typed.normalize('NFC').trim()
  const checked = () => {
    const found = becauseFault(because)
    setFault(found)
    return found === undefined
  }
  return {
    because,
    checked,
    field: <Field label={t(words.why)} hint={hint} value={typed} onValue={setTyped} fault={fault} />,
  }
}
