/**
 * The two keys of a deck. Slot or no slot tells proof from navigation: a key with a slot is held until
 * the paint has run down; a plain key leads somewhere and proves nothing; a dashed one says what is missing.
 */
import { useEffect, useRef, useState } from 'preact/hooks'
import type { Deed } from './deed'
import { AT_REST, HOLD_MS, holdNext, type HoldEvent, type HoldState } from './hold'
import { Icon, type IconName } from './icons'
import { useOneTap } from './settled'
import * as says from '../words/en/parts/keys'
import { t } from '../words/message'

interface SideKeyProps {
  label: string
  icon?: IconName
  figure?: string
  onPress: () => void
  disabled?: boolean
}

export function SideKey({ label, icon, figure, onPress, disabled = false }: SideKeyProps) {
  return (
    <button type="button" class="key-side" onClick={onPress} disabled={disabled}>
      {figure !== undefined && <span class="key-figure">{figure}</span>}
      {icon && <Icon name={icon} />}
      <span>{label}</span>
    </button>
  )
}

/** Leads somewhere, proves nothing. */
export function PlainKey({
  label,
  note,
  onPress,
  submit = false,
}: {
  label: string
  note?: string
  onPress?: () => void
  submit?: boolean
}) {
  return (
    <button type={submit ? 'submit' : 'button'} class="key-main key-plain" onClick={onPress}>
      <strong>{label}</strong>
      {note !== undefined && <small>{note}</small>}
    </button>
  )
}

/** Not yet: names what is missing. It stays in the focus order so that it can be read. */
export function MissingKey({ label, note }: { label: string; note?: string }) {
  return (
    <button type="button" class="key-main key-missing" aria-disabled="true">
      <svg class="key-dashes" viewBox="0 0 218 126" preserveAspectRatio="none" aria-hidden="true">
        <path d="M20 1.5H198L216 63 198 124.5H20L2 63Z" vector-effect="non-scaling-stroke" />
      </svg>
      <strong>{label}</strong>
      {note !== undefined && <small>{note}</small>}
    </button>
  )
}

interface HoldKeyProps {
  label: string
  /** Said under the label at rest. */
  note?: string
  /** Writes. Resolves when it is on disk: only then is the line whole. Rejects with an error that was already shown. */
  onHeld: Deed
  /** Said when the line is whole, e.g. 'it holds'. */
  done?: string
}

/** Chosen: what is kept sooner is never said to be saved; drawing that would take the time it tells of. */
const SLOW_MS = 120

const NOTES: Partial<Record<HoldState['phase'], string>> = {
  holding: t(says.keepHolding),
  armed: t(says.onceMoreSignsIt),
  short: t(says.aTapIsShort),
  working: t(says.saving),
}

/** Half-way the act is made ready: a drop of water has signed nothing, and what is drawn under the finger comes first. */
const AHEAD_MS = HOLD_MS / 2

function useHold(onHeld: Deed) {
  const [state, setState] = useState(AT_REST)
  const now = useRef(AT_REST)
  const timer = useRef(0)
  const ready = useRef<(() => Promise<void>) | undefined>(undefined)
  const mounted = useRef(true)
  useEffect(
    () => () => {
      mounted.current = false
      clearTimeout(timer.current)
    },
    [],
  )
  const show = () => mounted.current && setState(now.current)
  const send = (event: HoldEvent) => {
    const before = now.current
    now.current = holdNext(before, event)
    if (now.current === before) return
    clearTimeout(timer.current)
    if (now.current.phase !== 'working') show()
    if (now.current.phase === 'working') {
      timer.current = window.setTimeout(show, SLOW_MS)
      const act = ready.current ?? onHeld
      act().then(
        () => send({ type: 'written' }),
        () => send({ type: 'refused' }),
      )
    }
    ready.current = undefined
    if (now.current.phase === 'holding') timer.current = window.setTimeout(makeReady, AHEAD_MS)
  }
  const wait = () => {
    const left = Math.ceil(now.current.since + HOLD_MS - performance.now())
    timer.current = window.setTimeout(end, left)
    return left
  }
  const end = () => {
    send({ type: 'tick', at: performance.now() })
    // Parts of a millisecond are cut off a timer, which then comes too soon: it is set anew until the hold is over.
    if (now.current.phase === 'holding') wait()
  }
  const makeReady = () => {
    const left = wait()
    ready.current = onHeld.ahead?.(left)
  }
  return { state, send }
}

const isPress = (event: KeyboardEvent) => event.key === 'Enter' || event.key === ' '

export function HoldKey({ label, note = t(says.holdToSign), onHeld, done = t(says.itHolds) }: HoldKeyProps) {
  const { state, send } = useHold(onHeld)
  const words = state.phase === 'painted' ? done : (NOTES[state.phase] ?? note)
  return (
    <button
      type="button"
      class={`key-main key-hold ${state.phase}`}
      onPointerDown={(event) => {
        if (!event.isPrimary || event.button !== 0) return
        event.currentTarget.setPointerCapture(event.pointerId)
        send({ type: 'down', by: 'pointer', at: performance.now() })
      }}
      onPointerUp={(event) => event.isPrimary && send({ type: 'up', at: performance.now() })}
      onPointerCancel={() => send({ type: 'cancel' })}
      onContextMenu={(event) => event.preventDefault()}
      onKeyDown={(event) => {
        if (!isPress(event)) return
        event.preventDefault()
        if (!event.repeat) send({ type: 'down', by: 'keys', at: performance.now() })
      }}
      onKeyUp={(event) => {
        if (!isPress(event)) return
        event.preventDefault()
        send({ type: 'up', at: performance.now() })
      }}
      onBlur={() => send({ type: 'blur' })}
      // A pointer's click has detail > 0 and keys are caught above: what is left comes from assistive technology.
      onClick={(event) => event.detail === 0 && send({ type: 'click' })}
    >
      <span class="key-stub" aria-hidden="true" />
      <span class="key-body">
        <strong>{label}</strong>
        <small>{words}</small>
      </span>
      <span class="key-slot" aria-hidden="true">
        <i />
      </span>
    </button>
  )
}

interface KeepKeyProps {
  label: string
  note?: string
  /** Writes. Resolves when it is on disk; rejects with an error that was already shown. */
  onKeep: Deed
}

/** Keeps at a tap what a later hold seals. A second tap, meant or not, keeps nothing twice, nor what came under it. */
export function KeepKey({ label, note = t(says.tapToKeep), onKeep }: KeepKeyProps) {
  const [phase, setPhase] = useState<'rest' | 'working' | 'kept'>('rest')
  const slow = useRef(0)
  const tap = useOneTap()
  const ready = useRef<{ of: Deed; act: () => Promise<void> } | null>(null)
  const down = () => {
    ready.current = onKeep.ahead && tap.hears() ? { of: onKeep, act: onKeep.ahead(0) } : null
  }
  const act = () => {
    slow.current = window.setTimeout(() => setPhase('working'), SLOW_MS)
    const known = ready.current
    ready.current = null
    // Another deed may say something else: the screen has been drawn anew since the finger came down.
    return known?.of === onKeep ? known.act() : onKeep()
  }
  const show = (next: typeof phase) => () => {
    clearTimeout(slow.current)
    setPhase(next)
  }
  const keep = () => tap.keep(act, show('kept'), show('rest'))
  const words = phase === 'kept' ? t(says.kept) : phase === 'working' ? t(says.saving) : note
  return (
    <button type="button" class={`key-main key-plain key-keep ${phase}`} onPointerDown={down} onClick={keep}>
      <strong>{label}</strong>
      <small>{words}</small>
    </button>
  )
}

/** What the hold key says while it works, for those who do not see the paint run. One for each screen, beside the deck. */
export function Announce({ words }: { words: string }) {
  return (
    <p class="unseen" role="status" aria-live="polite">
      {words}
    </p>
  )
}
