/**
 * A bundle: what a procedure is to those who work by it. Its form is formats.md, section 6; the workshop compiled,
 * proved and signed for it, so it is read here without a second check, but for whether this app knows all it may
 * say. Names are those of the JSON.
 */
import { bundleFields, FORM, type Fields } from './known'
import type { MachineForm, ProofKind } from './machine'

export interface Proof {
  name: string
  kind: ProofKind
  label: string
  unit?: string
  low?: string
  high?: string
  target?: string
  /** Type of the registered tool it is read with. */
  tool?: string
  options?: { id: string; says: string; ok: boolean }[]
  part?: string
  hint?: string
  /** The ways to take a reading, best first; absent: by hand. */
  by?: Way[]
  /** What is counted: then the things are listed by name, to be ticked. */
  of?: 'kit' | 'single_use' | 'tools'
  /** The toothed wheel whose mark is measured on a photo. */
  wheel?: string
  /** `step.proof` of a step before, whose figure is shown beside this one once that is read. */
  like?: string
}

/** An instrument of the phone, or the eye and the mechanic's own tool. */
export type Way = 'pluck' | 'marks' | 'turn' | 'hand'

export interface Step {
  id: string
  number: string
  phase: string
  title: string
  /** Text of the main key. */
  act: string
  says: string[]
  because?: string
  caution?: { sign: string; says: string }
  /** Wheels or tools to look at. */
  look: string[]
  torque?: { nm: string; angle_deg?: string; sequence: string[] }
  undo: boolean
  must: boolean
  together?: string
  once: boolean
  proof: Proof[]
  fails: { id: string; says: string; then: string }[]
  tools_out: string[]
  tools_in: string[]
}

interface Condition {
  id: string
  kind: 'engine' | 'proof'
  label: string
  values: { id: string; says: string }[]
  start: string
}

export interface DriveWheel {
  id: string
  label: string
  x_um: number
  y_um: number
  r_um: number
  inside: boolean
  teeth?: number
  condition?: string
  mark_mdeg?: number
  hole?: { x_um: number; y_um: number; pin: string; condition: string }
  eccentric?: { x_um: number; y_um: number; pointer_mdeg: number; notch_mdeg: number }
}

/** The belt drive, seen from the belt end; wheels in the order the belt runs. */
export interface DriveBlock {
  running: 'clockwise' | 'anticlockwise'
  belt: {
    teeth?: number
    pitch_um?: number
    width_um: number
    back_um: number
    length_um: number
    condition?: string
  }
  wheels: DriveWheel[]
  path: { wheel: string; in: [number, number]; out: [number, number]; large: boolean }[]
  order: string[]
  counts: { from: string; to: string; teeth: number }[]
  span: { from: string; to: string; length_um: number; low_hz: string; high_hz: string; target_hz: string }
}

export interface Bundle {
  v: 1
  id: string
  name: string
  edition: number
  vehicle: string
  engine_codes: string[]
  cautions: string[]
  interval: { months: number; km: number }
  interrupt_minutes: number
  conditions: Condition[]
  phases: { id: string; name: string }[]
  steps: Step[]
  rules: { id: string; kind: 'stop' | 'ask'; never: string; because: string }[]
  ends: { id: string; name: string; because: boolean }[]
  tools: { slot: string; label: string; outline: string; tag?: string }[]
  kit: { part: string; label: string; count: number; single_use: boolean }[]
  drive: DriveBlock
  assets: { name: string; blob: string; type: string }[]
  machine: MachineForm
}

/** The bundle; null where only a newer app knows its form: it is kept, and nobody works by it here. */
export function readBundle(text: string): Bundle | null {
  const said = JSON.parse(text) as Bundle
  return said.v === FORM && isWithin(bundleFields, said) ? said : null
}

function isWithin(fields: Fields, said: unknown): boolean {
  if (Array.isArray(said)) return said.every((one) => isWithin(fields, one))
  return Object.entries(said as object).every(([name, value]) => {
    const inner = Object.hasOwn(fields, name) ? fields[name] : undefined
    return inner !== undefined && (inner === true || isWithin(inner, value))
  })
}
