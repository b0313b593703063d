/** Rows that lead somewhere: a step with its seal, or plain words. */
import type { ComponentChildren } from 'preact'
import { Seal } from '../../parts/seal'
import type { SealState } from '../../work/shown'
import * as words from '../../words/en/bay/rows'
import { t } from '../../words/message'

interface StepRowProps {
  number: string
  title: string
  state: SealState
  note?: string | undefined
  onPress: () => void
}

const RowWords = ({ children, note }: { children: ComponentChildren; note: string | undefined }) => (
  <span class="row-words">
    {children}
    {note !== undefined && <small>{note}</small>}
  </span>
)

export function StepRow({ number, title, state, note, onPress }: StepRowProps) {
  return (
    <li>
      <button type="button" class="row-key" onClick={onPress}>
        <Seal state={state} size={34} label={t(words.step, { number: number || title })} />
        {number !== '' && <em>{number}</em>}
        <RowWords note={note}>{title}</RowWords>
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
        <RowWords note={note}>{children}</RowWords>
      </button>
    </li>
  )
}
