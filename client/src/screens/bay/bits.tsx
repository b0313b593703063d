/** Small things several bay screens show: rows that lead somewhere, words typed by a person, facts. */
import type { ComponentChildren } from 'preact'
import { Seal } from '../../parts/seal'
import type { SealState } from '../../work/shown'
import { Sign } from '../../parts/signs'

export interface StepRowProps {
  number: string
  title: string
  state: SealState
  note?: string | undefined
  onPress: () => void
}

export function StepRow({ number, title, state, note, onPress }: StepRowProps) {
  return (
    <li>
      <button type="button" class="row-key" onClick={onPress}>
        <Seal state={state} size={34} label={`Step ${number || title}`} />
        {number !== '' && <em>{number}</em>}
        <span class="row-words">
          {title}
          {note !== undefined && <small>{note}</small>}
        </span>
      </button>
    </li>
  )
}

export function RowKey({
  children,
  note,
  onPress,
  pressed,
}: {
  children: ComponentChildren
  note?: string | undefined
  onPress: () => void
  pressed?: boolean
}) {
  return (
    <li>
      <button
        type="button"
        class="row-key"
        onClick={onPress}
        {...(pressed === undefined ? {} : { 'aria-pressed': pressed })}
      >
        <span class="row-words">
          {children}
          {note !== undefined && <small>{note}</small>}
        </span>
      </button>
    </li>
  )
}

/** Free words: the phone's own keyboard and its dictation are better at these than any pad of ours. */
export function Words({
  label,
  value,
  onValue,
}: {
  label: string
  value: string
  onValue: (value: string) => void
}) {
  return (
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
  )
}

/** Text as a private value may carry it: NFC, no blanks round it, at most 2,000 code points. */
export const asWords = (typed: string): string => [...typed.normalize('NFC').trim()].slice(0, 2000).join('')

/** What the procedure's author says before all work: whose data come first, and where this work must not be done. */
export function Cautions({ cautions }: { cautions: readonly string[] }) {
  if (cautions.length === 0) return null
  return (
    <section class="caution caution-wide" aria-label="Before any work">
      <Sign name="warning" size={36} />
      <ul class="cautions">
        {cautions.map((says) => (
          <li>{says}</li>
        ))}
      </ul>
    </section>
  )
}

export function Facts({ facts }: { facts: readonly (readonly [string, string])[] }) {
  return (
    <dl class="facts">
      {facts.map(([name, value]) => (
        <>
          <dt>{name}</dt>
          <dd>{value}</dd>
        </>
      ))}
    </dl>
  )
}
