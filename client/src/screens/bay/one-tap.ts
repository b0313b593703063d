/** Two taps that are one: a glove that comes down twice must not take a tool and hang it back at once. */
import { painted } from '../../store'

/** A second tap within this is part of the first (double taps: common practice, no source). */
const DEAF_MS = 300

const deaf = new Set<string>()

/**
 * Move the tool, unless its slot has been tapped just now: for a moment, and until what came of that is kept and its mark
 * painted. Resolves when the slot hears again; that the move was refused is told by who was asked for it.
 */
export async function oneTap(slot: string, move: () => Promise<void>): Promise<void> {
  if (deaf.has(slot)) return
  deaf.add(slot)
  const pause = new Promise<void>((done) => setTimeout(done, DEAF_MS))
  await Promise.allSettled([pause, move().then(painted)])
  deaf.delete(slot)
}
