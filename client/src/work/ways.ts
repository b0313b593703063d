/** By which of its ways a reading is begun. Pure. */
import type { Proof, Way } from '../procedure/bundle'
import type { JobNow } from './job'

/** The ways to take a reading, best first. */
export const waysOf = ({ by = ['hand'] }: Proof): readonly Way[] => by

/**
 * Return the place among the ways of a proof at which to begin: the best, but what was last left for a lesser way in
 * this job is not offered first again. A bay that is too loud for one span is too loud for the next.
 */
export function firstWay(proof: Proof, { bundle, held }: Pick<JobNow, 'bundle' | 'held'>): number {
  const proofs = new Map(
    bundle.steps.flatMap((step) => step.proof.map((one) => [`${step.id} ${one.name}`, one] as const)),
  )
  const readings = held.flatMap(({ entry }) => (entry.kind === 'reading.taken' ? [entry.body] : []))
  const isLeft = (way: Way): boolean => {
    const fits = readings.filter(({ step, name }) => {
      const asked = proofs.get(`${step} ${name}`)
      return asked !== undefined && waysOf(asked).includes(way)
    })
    const last = fits.at(-1)
    return last !== undefined && last.by !== way
  }
  const ways = waysOf(proof)
  const first = ways.findIndex((way) => way === 'hand' || !isLeft(way))
  return first === -1 ? ways.length - 1 : first
}
