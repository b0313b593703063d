/** Within a step: the proof that comes next, and the tools that go off the board or on to it. */
import type { Proof, Step } from '../procedure/bundle'
import type { JobNow, StepNow } from './job'
import type { ProofNow } from './proofs'
import type { BoardTool } from './shown'

/** The value of a hole's condition at which the drawing shows its pin. */
const PIN_IN = 'in'

export const nextProof = ({ proofs }: StepNow): ProofNow | null =>
  proofs.find(({ entry }) => entry === null) ?? null

/** Chosen: more marks than this do not fit beside a torque. */
const MOST_BOLTS = 8

/** Chosen: more rows than this do not fit beside a torque. */
const MOST_ROWS = 2

function fitsBesideTorque({ kind, of, target, options = [] }: Proof): boolean {
  if (kind === 'choice') return options.length <= MOST_ROWS
  return kind === 'count' && of === undefined && Number(target) <= MOST_BOLTS
}

/** The count of a torque's bolts, or the choice after it: given on the wrench's own screen, and one hold says both. */
export function besideTorque({ proofs }: StepNow, { proof }: ProofNow): ProofNow | null {
  const next = proofs[proofs.findIndex((each) => each.proof.name === proof.name) + 1]
  if (proof.tool !== 'torque_wrench' || !next || next.entry !== null) return null
  return fitsBesideTorque(next.proof) ? next : null
}

/**
 * What is marked on the wrench's screen, one mark each: the bolts that are counted; before what follows a torque, as
 * the angle after it, those that its order names.
 */
export function marksOf(step: Step, proof: Proof, also: Proof | null, paints: boolean): Proof | null {
  if (also) return also.kind === 'count' ? also : null
  const order = step.torque?.sequence ?? []
  const isOnly = step.proof.filter(({ tool }) => tool === proof.tool).length === 1
  const isMarked = isOnly && !paints && order.length > 1 && order.length <= MOST_BOLTS
  return isMarked ? { ...proof, target: String(order.length) } : null
}

const isAmong = (given: readonly ProofNow[], { proof }: ProofNow) =>
  given.some((each) => each.proof.name === proof.name)

/** What is still to be given once these are. */
export const nextAfter = ({ proofs }: StepNow, given: readonly ProofNow[]): ProofNow | null =>
  proofs.find((each) => each.entry === null && !isAmong(given, each)) ?? null

/** The last of its proofs paints the step in the same hold, unless the step asks for a tool after it. */
export function paintsWith(now: JobNow, { step, proofs }: StepNow, given: readonly ProofNow[]): boolean {
  const others = proofs.filter((each) => !isAmong(given, each))
  return others.every(({ entry }) => entry !== null) && toHang(now, step).length === 0
}

/** What the hold that seals a step signs: what was given, and what nothing but the hold says. */
export const signedWith = ({ step, proofs }: StepNow): string[] => [
  ...proofs.flatMap(({ proof, said }) => (said === null ? [] : [`${proof.label}: ${said}`])),
  ...step.proof.flatMap(({ kind, label }) => (kind === 'confirm' ? [label] : [])),
]

export interface StepTools {
  slots: readonly string[]
  way: 'out' | 'in'
  left: number
}

const toTake = ({ toolsOut }: JobNow, { tools_out, tools_in }: Step) =>
  tools_out.filter((slot) => !toolsOut.includes(slot) && !tools_in.includes(slot))
/** Tools of a step that are still to be hung on the board again. */
export const toHang = ({ toolsOut }: JobNow, { tools_in }: Step) =>
  tools_in.filter((slot) => toolsOut.includes(slot))

/** A step that takes no tool and measures nothing begins at the board: what it counts, photographs and signs is how it is afterwards. */
const isPuttingAway = ({ tools_out, tools_in, proof }: Step) =>
  tools_in.length > 0 && tools_out.length === 0 && !proof.some(({ kind }) => kind === 'reading')

/** All its tools hang again and nothing else is asked: the board itself is where the step is sealed. */
export const isSealedAtTheBoard = (now: JobNow, asked: StepNow): boolean =>
  asked.step.tools_in.length > 0 && nextProof(asked) === null && toolsOf(now, asked) === null

/** Whether the board is the place to hang tools on now, rather than to take them off. */
export const isHanging = (asked: StepNow): boolean =>
  asked.step.tools_in.length > 0 && (isPuttingAway(asked.step) || nextProof(asked) === null)

/**
 * Tools to be tapped on the board now: those a step takes before its work, those it brings back after its proofs.
 * A tool that is taken and brought back in the same step is not asked for twice.
 */
export function toolsOf(now: JobNow, asked: StepNow): StepTools | null {
  const take = toTake(now, asked.step)
  if (take.length > 0)
    return {
      slots: asked.step.tools_out.filter((slot) => !asked.step.tools_in.includes(slot)),
      way: 'out',
      left: take.length,
    }
  const hang = toHang(now, asked.step)
  return isHanging(asked) && hang.length > 0
    ? { slots: asked.step.tools_in, way: 'in', left: hang.length }
    : null
}

export function boardOf({ bundle, toolsOut, held }: JobNow): BoardTool[] {
  const lost = new Set(held.flatMap(({ entry }) => (entry.kind === 'tool.lost' ? [entry.body.tool] : [])))
  return bundle.tools.map(({ slot, label, outline, tag }) => ({
    slot,
    label,
    outline,
    out: toolsOut.includes(slot),
    lost: lost.has(slot),
    ...(tag === undefined ? {} : { tag }),
  }))
}

/** The pin that a hole holds at this value, while the board says that it hangs there. */
export function hangingPin({ bundle, toolsOut }: JobNow, condition: string, value: string): string | null {
  const pin = bundle.drive.wheels.find(({ hole }) => hole?.condition === condition)?.hole?.pin
  return pin !== undefined && value === PIN_IN && !toolsOut.includes(pin) ? pin : null
}

/** Pins that a failure leaves in and that hang on the board: they go in first, or the phone would draw what is not so. */
export function pinsToPutIn(now: JobNow, { index }: StepNow, failure: string): string[] {
  const { conditions, steps } = now.machine
  const left = steps[index]!.fails.find(({ id }) => id === failure)?.effect ?? []
  return left.flatMap(([c, v]) => hangingPin(now, conditions[c]!.id, conditions[c]!.values[v]!) ?? [])
}

export const toolLabel = ({ bundle }: JobNow, slot: string): string =>
  bundle.tools.find((each) => each.slot === slot)?.label ?? slot
