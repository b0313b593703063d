/**
 * The phone as a witness: each newer head of the workshop's ledger must contain the one this
 * phone saw before. A workshop that shows two histories is found out here.
 */
import type { ProofAnswer } from '../ledger/answers'
import { decodePadded } from '../ledger/base64url'
import { verifyConsistency } from '../ledger/tree'
import type { PhoneStore } from '../store'
import type { Api } from './api'
import { forked, Untrue } from './errors'

export class Witness {
  constructor(
    private readonly api: Api,
    private readonly store: PhoneStore,
  ) {}

  /** Ask for the proof from the head that was proven last to the newest; keep the newest as proven. */
  async check(): Promise<void> {
    const { proven, size, root } = await this.store.ledger.seen()
    if (proven && proven.size < size) {
      const { path } = await this.api.json<ProofAnswer>(`/api/consistency?from=${proven.size}&to=${size}`, {
        members: ['path'],
      })
      const [before, now] = [decodePadded(proven.root), decodePadded(root)]
      if (!(await verifyConsistency(proven.size, size, before, now, path.map(decodePadded))))
        throw new Untrue(forked)
    }
    if (size > (proven?.size ?? 0)) await this.store.ledger.keepProven({ size, root })
  }
}
