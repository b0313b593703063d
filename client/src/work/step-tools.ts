/** Within a step: the proof that comes next, and the tools that go off the board or on to it. */
import type { Entry } from '../ledger/entry'
import type { Step } from '../procedure/bundle'
import type { JobNow, StepNow } from './job'
import type { ProofNow } from './proofs'
import type { BoardTool } from './shown'

/** The value of a hole's condition at which the drawing shows its pin. */
const PIN_IN = 'in'

export const nextProof = ({ proofs }: StepNow): ProofNow | null =>
  proofs.find(({ entry }) => entry === null) ?? null

/** What is still to be given once this one is. */
export const nextAfter = ({ proofs }: StepNow, { proof }: ProofNow): ProofNow | null =>
  proofs.find((each) => each.entry === null && each.proof.name !== proof.name) ?? null

/** The last proof paints the step in the same hold, unless the step asks for a word or a tool after it. */
export function paintsWith(now: JobNow, { step, proofs }: StepNow, wanted: ProofNow): boolean {
  const others = proofs.filter((each) => each.proof.name !== wanted.proof.name)
  return (
    others.every(({ entry }) => entry !== null) &&
    !step.proof.some(({ kind }) => kind === 'confirm') &&
    toHang(now, step).length === 0
  )
}

export interface StepTools {
  slots: readonly string[]
  way: 'out' | 'in'
  left: number
}

const toTake = ({ toolsOut }: JobNow, { tools_out, tools_in }: Step) =>
  tools_out.filter((slot) => !toolsOut.includes(slot) && !tools_in.includes(slot))
const toHang = ({ toolsOut }: JobNow, { tools_in }: Step) =>
  tools_in.filter((slot) => toolsOut.includes(slot))

/** A step that takes no tool and measures nothing begins at the board: what it counts, photographs and signs is how it is afterwards. */
const isPuttingAway = ({ tools_out, tools_in, proof }: Step) =>
  tools_in.length > 0 && tools_out.length === 0 && !proof.some(({ kind }) => kind === 'reading')

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

/** The board with what was just kept and is not in the log that was read: the mark of a tap waits for no fold. */
export const boardAfter = (board: readonly BoardTool[], fresh: readonly Entry[]): BoardTool[] =>
  board.map((tool) => {
    const moves = fresh.filter(
      ({ kind, body }) => (kind === 'tool.out' || kind === 'tool.in') && body.tool === tool.slot,
    )
    return moves.length === 0 ? tool : { ...tool, out: moves.at(-1)?.kind === 'tool.out' }
  })

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
