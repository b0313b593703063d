/** Words typed by a person. */
import { NotKept } from './not-kept'

/** Free words: the phone's own keyboard and its dictation are better at these than any pad of ours. */
export function Words({
  label,
  value,
  onValue,
  since = null,
}: {
  label: string
  value: string
  onValue: (value: string) => void
  /** Of a draft: when what stood here as the screen came was typed. */
  since?: string | null
}) {
  return (
    <>
      <p>
        <label for="words">{label}</label>
        <textarea
          id="words"
          class="words"
          maxLength={2000}
          value={value}
          onInput={(event) => onValue(event.currentTarget.value)}
        />
      </p>
      <NotKept since={since} />
    </>
  )
}

/** Text as a private value may carry it: NFC, no blanks round it, at most 2,000 code points. */
export const asWords = (typed: string): string => [...typed.normalize('NFC').trim()].slice(0, 2000).join('')
