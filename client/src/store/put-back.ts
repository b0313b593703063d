/**
 * The jobs into which a comparison of the two places has put something back. What a screen says of such a job is no
 * longer so until its log has been read again and drawn: an act that is asked for by then was meant for another state.
 */
import { viewKey } from './view'

/** Chosen: what was read is drawn in this, also by a slow phone. */
const DRAWN_MS = 100

export class PutBack {
  /** By which comparison it was done last. */
  readonly #jobs = new Map<string, number>()
  readonly #undrawn = new Map<string, number>()

  /** @param job as views name it */
  add(job: string, comparison: number): void {
    this.#jobs.set(job, comparison)
    this.#undrawn.set(job, comparison)
  }

  has(job: string | null): boolean {
    return this.#jobs.has(viewKey(job))
  }

  /** Statements are of no job, and no screen shows all of them. */
  isUndrawn(job: string | null): boolean {
    return job !== null && this.#undrawn.has(viewKey(job))
  }

  /** Follow a reading of a job's log: one that began before the last comparison ended does not count. */
  async reading<T>(job: string | null, read: () => Promise<T>): Promise<T> {
    const known = this.#undrawn.get(viewKey(job))
    const found = await read()
    if (known !== undefined) setTimeout(() => this.#drawn(viewKey(job), known), DRAWN_MS)
    return found
  }

  #drawn(job: string, known: number): void {
    if (this.#undrawn.get(job) === known) this.#undrawn.delete(job)
  }
}
