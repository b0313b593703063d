/** A few words to be written: kept while they wait, and until the writing has held. */
import { useEffect, useRef } from 'preact/hooks'
import { useKeeping } from '../keeping'
import { letGo, useTyped } from './kept'
import { TroubleLine } from './shell'
import { TextKey } from '../text-key'
import * as says from '../../words/en/office/write-words'
import { t } from '../../words/message'

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
  const [text, type] = useTyped(`words/${draft}`, '')
  const { trouble, keep } = useKeeping()
  const words = text.normalize('NFC').trim()
  useEffect(() => field.current?.focus(), [])
  const sent = async () => {
    if (await keep(() => send(words))) letGo(`words/${draft}`)
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
          onInput={(event) => type(event.currentTarget.value)}
        />
      </label>
      <TroubleLine trouble={trouble} />
      <p class="step-acts">
        <button type="submit" class="text-key text-key-main" disabled={words === ''}>
          {submit}
        </button>
        <TextKey says={t(says.leaveIt)} onPress={leave} />
      </p>
    </form>
  )
}
