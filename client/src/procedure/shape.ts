/**
 * The shape of a bundle (formats.md, section 6), and its fields by name.
 * Written by `python -m twoturns.procedure.compile.typescript`: change shape.py, not this.
 */
export interface Fields {
  readonly [name: string]: Fields | true
}

export type ProofKind = 'confirm' | 'reading' | 'photo' | 'count' | 'wait' | 'scan' | 'choice' | 'signature'

export type Way = 'pluck' | 'marks' | 'turn' | 'hand'

/** When the belt is due again: whichever comes first. */
export interface Interval {
  months: number
  km: number
}

/** A value of a condition, and what it says of the engine. */
export interface Value {
  id: string
  says: string
}

/** Something about the engine, or a proof about it; `start`: its value when a job begins. */
export interface Condition {
  id: string
  kind: 'engine' | 'proof'
  label: string
  values: readonly Value[]
  start: string
}

/** A part of the work: the steps of one stand together. */
export interface Phase {
  id: string
  name: string
}

/** What can hurt, under a sign of the vocabulary. */
export interface Caution {
  sign: string
  says: string
}

/** What is shown of a picture, in hundredths of its width and height. */
export interface Crop {
  left_percent: number
  top_percent: number
  width_percent: number
  height_percent: number
}

/** An arrow on a picture: its tip in hundredths of the whole, and where it points (90: up). */
export interface Arrow {
  x_percent: number
  y_percent: number
  angle_deg: number
}

/** A picture at a step. `asset`: its name among the assets. `says`: a line to remember it by. */
export interface Picture {
  asset: string
  crop?: Crop
  arrow?: Arrow
  says?: string
}

/** How a fastener is brought up: to torque, and on through an angle. */
export interface Torque {
  nm: string
  angle_deg?: string
  sequence: readonly string[]
}

/** A single-use part that a step fits, and how many of it. */
export interface Use {
  part: string
  count: number
}

/** One answer of a choice; `ok`: whether it proves the step; `finding`: it is to be followed up; `permit`: who gives it holds that permit. */
export interface Option {
  id: string
  says: string
  ok: boolean
  finding?: boolean
  permit?: string
}

/** What a step is proved by. `tool`: type of the registered tool it is read with. `by`: ways to take a reading, best first; absent: by hand. `of`: what is counted, ticked by name. `wheel`: the toothed wheel whose mark is measured on a photo. `like`: `step.proof` of a step before, whose figure is shown beside this one once that is read. */
export interface Proof {
  name: string
  kind: ProofKind
  label: string
  unit?: string
  low?: string
  high?: string
  target?: string
  tool?: string
  options?: readonly Option[]
  part?: string
  hint?: string
  by?: readonly Way[]
  of?: 'kit' | 'single_use' | 'tools'
  wheel?: string
  like?: string
}

/** How a step can fail: what is seen, and what to do then; `finding`: it is to be followed up. */
export interface Failure {
  id: string
  says: string
  then: string
  finding?: boolean
}

/** One step of the work. `act`: text of the main key. `look`: wheels or tools to look at. `drawn`: what the app draws in place of the drive, a word of the vocabulary. `once`: it cannot be done again. `instead`: the rules with a maker's word that it comes under. `permit`: who does it holds that permit. */
export interface Step {
  id: string
  number: string
  phase: string
  title: string
  act: string
  says: readonly string[]
  because?: string
  caution?: Caution
  picture?: Picture
  look: readonly string[]
  drawn?: string
  torque?: Torque
  undo: boolean
  must: boolean
  permit?: string
  together?: string
  once: boolean
  instead?: readonly string[]
  uses?: readonly Use[]
  proof: readonly Proof[]
  fails: readonly Failure[]
  tools_out: readonly string[]
  tools_in: readonly string[]
}

/** A maker's document, and where in it. */
export interface Cited {
  document: string
  edition: string
  page: string
  date: string
}

/** A word that holds in place of a house rule: what it asks for, why, and where it stands. `whose`: the workshop's, for whichever of its procedures needs it; absent: the maker's. `never` and `because` are the house rule's own; those of the rule that holds stand beside this. Those and `says` are an author's words. `holds` is what the machine asks for, and `gone` what of the house rule it no longer asks for: sentences that the compiler makes of the rules themselves. */
export interface Instead {
  never: string
  because: string
  holds: readonly string[]
  gone: readonly string[]
  says: string
  why: string
  source: Cited
  whose?: 'workshop'
}

/** A house rule: `stop` never passes, `ask` passes with a reason and a photo. `instead`: this one holds in the house rule's place; never shown without it. */
export interface Rule {
  id: string
  kind: 'stop' | 'ask'
  never: string
  because: string
  instead?: Instead
}

/** A way to close a job; `because`: it wants a reason. */
export interface End {
  id: string
  name: string
  because: boolean
}

/** A place on the tool board, with the drawing of what hangs there. */
export interface Tool {
  slot: string
  label: string
  outline: string
  tag?: string
  low?: string
  high?: string
  unit?: string
}

/** A part of the kit. */
export interface Kit {
  part: string
  label: string
  count: number
  single_use: boolean
}

/** The belt; a ribbed one has no teeth. */
export interface DriveBelt {
  teeth?: number
  pitch_um?: number
  width_um: number
  back_um: number
  length_um: number
  condition?: string
}

/** Where a pin locks a wheel. */
export interface Hole {
  x_um: number
  y_um: number
  pin: string
  condition: string
}

/** Round what a tensioner turns, and where its pointer and notch are. */
export interface Eccentric {
  x_um: number
  y_um: number
  pointer_mdeg: number
  notch_mdeg: number
}

/** A wheel; `r_um` is the belt's pitch line round it. `inside`: the belt's toothed side is. */
export interface DriveWheel {
  id: string
  label: string
  x_um: number
  y_um: number
  r_um: number
  teeth?: number
  inside: boolean
  condition?: string
  mark_mdeg?: number
  hole?: Hole
  eccentric?: Eccentric
}

export interface Arc {
  wheel: string
  in: readonly [number, number]
  out: readonly [number, number]
  large: boolean
}

export interface Count {
  from: string
  to: string
  teeth: number
}

export interface Span {
  from: string
  to: string
  length_um: number
  low_hz: string
  high_hz: string
  target_hz: string
}

/** The belt drive; wheels in the order the belt runs, the driving one first. */
export interface Drive {
  running: 'clockwise' | 'anticlockwise'
  belt: DriveBelt
  wheels: readonly DriveWheel[]
  path: readonly Arc[]
  order: readonly string[]
  counts: readonly Count[]
  span: Span
}

/** A picture that comes with the bundle. */
export interface Asset {
  name: string
  blob: string
  type: 'image/jpeg' | 'image/png' | 'image/webp'
}

/** A block that the procedure was made with: nothing of it is needed to read this one. */
export interface BlockTaken {
  id: string
  edition: number
  sha256: string
}

/** One variable of the engine, or of proof: then its value 0 is *unproved*. */
export interface MachineCondition {
  id: string
  proof: boolean
  values: readonly string[]
  start: number
}

/** How a step can fail: what it leaves, and what must be looked at. */
export interface MachineFailure {
  id: string
  effect: readonly (readonly [number, number])[]
  look: readonly number[]
}

/** Broken unless the state before the step is inside every mask. */
export interface MachineRule {
  rule: number
  guard: readonly (readonly [number, number])[]
}

/** What an entry must hold to be a proof of a step. */
export interface MachineProof {
  name: string
  kind: ProofKind
  low?: string
  high?: string
  ok?: readonly string[]
}

/** A step as the machine runs it: what each list means stands in formats.md. */
export interface MachineStep {
  id: string
  undo: boolean
  must: boolean
  together: string | null
  guard: readonly (readonly [number, number])[]
  moves: readonly (readonly [number, number])[]
  effect: readonly (readonly [number, number])[]
  on_the_way: readonly (readonly [number, number])[]
  fails: readonly MachineFailure[]
  reopen: readonly (readonly [number, number])[]
  rules: readonly MachineRule[]
  proof: readonly MachineProof[]
  tools_out: readonly string[]
  tools_in: readonly string[]
}

/** A way to close a job: all must-steps, or what it asks of conditions. */
export interface MachineEnd {
  id: string
  all_must: boolean
  conditions: readonly (readonly [number, number])[]
}

/** MACHINE: the only thing that both languages run. */
export interface MachineForm {
  conditions: readonly MachineCondition[]
  steps: readonly MachineStep[]
  rests: readonly (readonly [number, readonly number[]])[]
  makers: readonly (readonly [number, number, readonly number[]])[]
  ends: readonly MachineEnd[]
}

/** What a procedure is to those who work by it. */
export interface Bundle {
  v: 1
  id: string
  name: string
  edition: number
  vehicle: string
  engine_codes: readonly string[]
  cautions: readonly string[]
  interval: Interval
  interrupt_minutes: number
  conditions: readonly Condition[]
  phases: readonly Phase[]
  steps: readonly Step[]
  rules: readonly Rule[]
  ends: readonly End[]
  tools: readonly Tool[]
  kit: readonly Kit[]
  drive: Drive
  assets: readonly Asset[]
  blocks?: readonly BlockTaken[]
  machine: MachineForm
}

export const FORM = 1

export const bundleFields: Fields = {"v":true,"id":true,"name":true,"edition":true,"vehicle":true,"engine_codes":true,"cautions":true,"interval":{"months":true,"km":true},"interrupt_minutes":true,"conditions":{"id":true,"kind":true,"label":true,"values":{"id":true,"says":true},"start":true},"phases":{"id":true,"name":true},"steps":{"id":true,"number":true,"phase":true,"title":true,"act":true,"says":true,"because":true,"caution":{"sign":true,"says":true},"picture":{"asset":true,"crop":{"left_percent":true,"top_percent":true,"width_percent":true,"height_percent":true},"arrow":{"x_percent":true,"y_percent":true,"angle_deg":true},"says":true},"look":true,"drawn":true,"torque":{"nm":true,"angle_deg":true,"sequence":true},"undo":true,"must":true,"permit":true,"together":true,"once":true,"instead":true,"uses":{"part":true,"count":true},"proof":{"name":true,"kind":true,"label":true,"unit":true,"low":true,"high":true,"target":true,"tool":true,"options":{"id":true,"says":true,"ok":true,"finding":true,"permit":true},"part":true,"hint":true,"by":true,"of":true,"wheel":true,"like":true},"fails":{"id":true,"says":true,"then":true,"finding":true},"tools_out":true,"tools_in":true},"rules":{"id":true,"kind":true,"never":true,"because":true,"instead":{"never":true,"because":true,"holds":true,"gone":true,"says":true,"why":true,"source":{"document":true,"edition":true,"page":true,"date":true},"whose":true}},"ends":{"id":true,"name":true,"because":true},"tools":{"slot":true,"label":true,"outline":true,"tag":true,"low":true,"high":true,"unit":true},"kit":{"part":true,"label":true,"count":true,"single_use":true},"drive":true,"assets":{"name":true,"blob":true,"type":true},"blocks":{"id":true,"edition":true,"sha256":true},"machine":{"conditions":{"id":true,"proof":true,"values":true,"start":true},"steps":{"id":true,"undo":true,"must":true,"together":true,"guard":true,"moves":true,"effect":true,"on_the_way":true,"fails":{"id":true,"effect":true,"look":true},"reopen":true,"rules":{"rule":true,"guard":true},"proof":{"name":true,"kind":true,"low":true,"high":true,"ok":true},"tools_out":true,"tools_in":true},"rests":true,"makers":true,"ends":{"id":true,"all_must":true,"conditions":true}}}
