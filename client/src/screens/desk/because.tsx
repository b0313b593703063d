/** A statement that rules or takes back, and says why. */
import { useState } from 'preact/hooks'
import * as words from '../../words/en/desk/because'
import { t } from '../../words/message'
import type { Rooms } from '../rooms'
import { becauseFault } from './drafts'
import { DeskForm, Field } from './form'
import { useWriting, type Build } from './use-writing'

interface BecauseFormProps extends Rooms {
  title: string
  submit: string
  /** What follows from it. */
  means: string
  hint: string
  state: (because: string) => Build
  leave: () => void
}

export function BecauseForm({ title, submit, means, hint, state, leave, ...rooms }: BecauseFormProps) {
  const { write } = useWriting(rooms, null)
  const [typed, setTyped] = useState('')
  const [fault, setFault] = useState<string | undefined>(undefined)
  const act = () => {
    const because = typed.normalize('NFC').trim()
    const found = becauseFault(because)
    setFault(found)
    return found === undefined ? write(state(because)).then(leave) : null
  }
  return (
    <DeskForm title={title} submit={submit} act={act} leave={leave}>
      <p class="d-text">{means}</p>
      <Field label={t(words.why)} hint={hint} value={typed} onValue={setTyped} fault={fault} />
    </DeskForm>
  )
}
