/** What of a job is only read: steps that are done or not yet their turn, and its torques on one page. Pure. */
import type { JobNow, StepNow } from './job'

/** What is done is read, and so is what is not yet its turn; either leads on to the work from there. */
export const isWorkable = ({ index, open, seal }: StepNow, { current, row }: JobNow) =>
  row.end === null && seal !== 'holds' && seal !== 'passed' && (open || index === current?.index)

interface Torqued {
  at: StepNow
  nm: string
  angle: string
  bolts: string
  /** How many of its bolts or passes have been given, and of how many. */
  given: number
  asked: number
}

/** Ways back that nothing needs are left out: their bolts are listed where they are tightened last. */
export function torquesOf(steps: readonly StepNow[]): Torqued[] {
  return steps.flatMap((at) => {
    const { torque, undo } = at.step
    if (!torque || (undo && !at.open)) return []
    const clicks = at.proofs.filter(({ proof }) => proof.tool === 'torque_wrench')
    return {
      at,
      nm: torque.nm,
      angle: torque.angle_deg ?? '',
      bolts: torque.sequence.join(', '),
      given: at.seal === 'holds' ? clicks.length : clicks.filter(({ entry }) => entry !== null).length,
      asked: clicks.length,
    }
  })
}
