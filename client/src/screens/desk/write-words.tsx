/** A few words to be written: kept while they wait, and until the writing has held. */
import { useEffect, useRef, useState } from 'preact/hooks'
import { NotKept, type Trouble } from '../../store'
import { TroubleLine } from '../office/shell'
import * as says from '../../words/en/desk/write-words'
import { t } from '../../words/message'

/** Words not sent yet, by what they are about: leaving a job for a moment must not cost them. */
const drafts = new Map<string, string>()

/** At most 1,900 characters: a private value holds 2,000. */
const LONGEST = 1900

interface AskProps {
  draft: string
  label: string
  submit: string
  send: (text: string) => Promise<void>
  leave: () => void
  longest?: number
}

export function Ask({ draft, label, submit, send, leave, longest = LONGEST }: AskProps) {
  const field = useRef<HTMLTextAreaElement>(null)
  const [text, setText] = useState(drafts.get(draft) ?? '')
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const words = text.normalize('NFC').trim()
  useEffect(() => field.current?.focus(), [])
  const keep = (typed: string) => {
    setText(typed)
    drafts.set(draft, typed)
  }
  const sent = async () => {
    setTrouble(null)
    drafts.delete(draft)
    try {
      await send(words)
    } catch (error) {
      drafts.set(draft, text)
      if (!(error instanceof NotKept)) throw error
      setTrouble(error.trouble)
    }
  }
  return (
    <form
      class="ask"
      onSubmit={(event) => {
        event.preventDefault()
        if (words) void sent()
      }}
    >
      <label>
        {label}
        <textarea
          ref={field}
          rows={3}
          maxLength={longest}
          value={text}
          onInput={(event) => keep(event.currentTarget.value)}
        />
      </label>
      <TroubleLine trouble={trouble} />
      <p class="step-acts">
        <button type="submit" class="text-key text-key-main" disabled={words === ''}>
          {submit}
        </button>
        <button type="button" class="text-key" onClick={leave}>
          {t(says.leaveIt)}
        </button>
      </p>
    </form>
  )
}
