/**
 * When a held key counts as held. Pure: time and what happened come in, the new state comes out.
 *
 * Held 600 ms, because drops of water and sleeves touch shortly (touch figures: common practice, no source).
 * A way without timing for keyboards and assistive technology: a short press arms the key, the next one fires it;
 * for a pointer a short press only says that it was too short, or two drops would seal a step.
 */

export const HOLD_MS = 600

type HoldPhase = 'rest' | 'short' | 'holding' | 'armed' | 'working' | 'painted'
export interface HoldState {
  phase: HoldPhase
  by: 'pointer' | 'keys' | null
  since: number
}

export type HoldEvent =
  | { type: 'down'; by: 'pointer' | 'keys'; at: number }
  | { type: 'up'; at: number }
  | { type: 'cancel' }
  | { type: 'blur' }
  | { type: 'tick'; at: number }
  | { type: 'click' }
  | { type: 'written' }
  | { type: 'refused' }

export const AT_REST: HoldState = { phase: 'rest', by: null, since: 0 }

const held = (state: HoldState, at: number) => state.phase === 'holding' && at - state.since >= HOLD_MS

/** `phase: 'working'` means: fire now. It is entered once for one act, so a key cannot paint twice. */
export function holdNext(state: HoldState, event: HoldEvent): HoldState {
  if (state.phase === 'working') {
    if (event.type === 'written') return { ...AT_REST, phase: 'painted' }
    return event.type === 'refused' ? AT_REST : state
  }
  if (state.phase === 'painted') return state
  const working: HoldState = { ...AT_REST, phase: 'working' }
  switch (event.type) {
    case 'down':
      if (state.phase === 'armed' && event.by === 'keys') return working
      return { phase: 'holding', by: event.by, since: event.at }
    case 'tick':
      return held(state, event.at) ? working : state
    case 'up':
      if (held(state, event.at)) return working
      if (state.phase !== 'holding') return state
      return { ...AT_REST, phase: state.by === 'keys' ? 'armed' : 'short' }
    case 'click':
      return state.phase === 'armed' ? working : { ...AT_REST, phase: 'armed' }
    case 'blur': // a key that is let go elsewhere is not heard of; a finger is, wherever the focus has gone
      return state.by === 'pointer' ? state : AT_REST
    case 'cancel':
      return AT_REST
    default:
      return state
  }
}
