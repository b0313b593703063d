import type { PhotoRow } from './database'
import type { Inside } from './inside'
import { refuse, waitingIn } from './outgoing'
import type { Trouble } from './types'

/** Photos, and what an instrument saw, on their way to the workshop. */
export class OutgoingPhotos {
  constructor(private readonly inside: Inside) {}

  waiting(withRefused: boolean): Promise<PhotoRow[]> {
    return waitingIn(this.inside.db, 'photos', withRefused)
  }

  bytes(blob: string): Promise<ArrayBuffer | null> {
    return this.inside.keeper.pictures.bytes(blob)
  }

  async refuse(blob: string, trouble: Trouble): Promise<void> {
    await this.inside.db.change(['photos'], (tx) => refuse(tx, 'photos', blob, trouble))
    await this.inside.stirred()
  }
}
