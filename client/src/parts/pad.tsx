/**
 * Our own pads, because a phone's keys are too small for gloves: every key here is 94 px.
 * The field above stays a real input, so that a keyboard, paste and assistive technology work as everywhere.
 */
import { useState } from 'preact/hooks'
import * as words from '../words/en/parts/pad'
import { t } from '../words/message'

interface EntryLineProps {
  id: string
  label: string
  value: string
  onValue: (value: string) => void
  describedBy?: string
  long?: boolean
  /** The phone's own keys, where ours are not beside it. */
  mode?: 'none' | 'tel' | 'text'
}

export function EntryLine({
  id,
  label,
  value,
  onValue,
  describedBy,
  long = false,
  mode = 'none',
}: EntryLineProps) {
  return (
    <>
      <label for={id}>{label}</label>
      <input
        id={id}
        class={long ? 'entry-line entry-long' : 'entry-line'}
        value={value}
        inputMode={mode}
        autocomplete="off"
        autocapitalize={mode === 'text' ? 'off' : 'characters'}
        spellcheck={false}
        aria-describedby={describedBy}
        onInput={(event) => onValue(event.currentTarget.value)}
      />
    </>
  )
}

interface PadProps {
  value: string
  onValue: (value: string) => void
}

const erase = (value: string) => value.slice(0, -1)

/** Digits and a point; where the reading may be below zero, the point's key is a minus while nothing is typed. */
export function NumberPad({
  value,
  onValue,
  decimal = true,
  sign = false,
}: PadProps & { decimal?: boolean; sign?: boolean }) {
  const digit = (d: string) => onValue(value === '0' && d !== '.' ? d : value + d)
  const dot = !value.includes('.') && /\d$/.test(value)
  return (
    <div class="pad" role="group" aria-label={t(words.numberKeys)}>
      {['7', '8', '9', '4', '5', '6', '1', '2', '3'].map((d) => (
        <button type="button" onClick={() => digit(d)}>
          {d}
        </button>
      ))}
      {!decimal && <span />}
      {decimal && sign && value === '' && (
        <button type="button" aria-label={t(words.minus)} onClick={() => digit('-')}>
          −
        </button>
      )}
      {decimal && !(sign && value === '') && (
        <button type="button" aria-label={t(words.point)} disabled={!dot} onClick={() => digit('.')}>
          .
        </button>
      )}
      <button type="button" onClick={() => digit('0')}>
        0
      </button>
      <EraseKey value={value} onValue={onValue} />
    </div>
  )
}

function EraseKey({ value, onValue }: PadProps) {
  return (
    <button
      type="button"
      aria-label={t(words.takeBack)}
      disabled={value === ''}
      onClick={() => onValue(erase(value))}
    >
      <Sign height={32} d="M14 3h27v26H14L3 16ZM21 10l12 12M33 10 21 22" />
    </button>
  )
}

/** What stands on a key of a pad that has no letter. */
const Sign = ({ height, d }: { height: number; d: string }) => (
  <svg
    width="44"
    height={height}
    viewBox={`0 0 44 ${height}`}
    fill="none"
    stroke="currentColor"
    stroke-width="3.4"
    aria-hidden="true"
  >
    <path d={d} />
  </svg>
)

/** Letters in two touches, a group and then the letter: thirty-six keys of 94 px do not fit on a phone. */
const GROUPS = ['0123', '4567', '89AB', 'CDEF', 'GHJK', 'LMNP', 'RSTU', 'VWXY', 'Z-IOQ'] as const

export function LetterPad({ value, onValue, without = '' }: PadProps & { without?: string }) {
  const [open, setOpen] = useState<string | null>(null)
  const letters = (group: string) => [...group].filter((letter) => !without.includes(letter))
  if (open !== null) {
    const pick = (letter: string) => {
      onValue(value + letter)
      setOpen(null)
    }
    return (
      <div class="pad" role="group" aria-label={t(words.letters, { open })}>
        {letters(open).map((letter, i) => (
          <button type="button" ref={i === 0 ? focusFirst : null} onClick={() => pick(letter)}>
            {letter}
          </button>
        ))}
        <button type="button" aria-label={t(words.otherLetters)} onClick={() => setOpen(null)}>
          …
        </button>
      </div>
    )
  }
  return (
    <div class="pad pad-letters" role="group" aria-label={t(words.letterGroups)}>
      {GROUPS.map((group) => (
        <button type="button" onClick={() => setOpen(group)}>
          {letters(group).join('')}
        </button>
      ))}
      <button
        type="button"
        aria-label={t(words.space)}
        onClick={() => onValue(value === '' ? value : `${value} `)}
      >
        <Sign height={20} d="M3 4v12h38V4" />
      </button>
      <EraseKey value={value} onValue={onValue} />
    </div>
  )
}

/** A short text: its line, and the letters below it. */
export function LetterEntry(props: EntryLineProps) {
  const { value, onValue } = props
  return (
    <>
      <div>
        <EntryLine {...props} />
      </div>
      <LetterPad value={value} onValue={onValue} />
    </>
  )
}

const focusFirst = (element: HTMLButtonElement | null) => element?.focus({ preventScroll: true })
