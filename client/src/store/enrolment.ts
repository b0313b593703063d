import type { EntryRow, Names } from './database'
import type { Inside } from './inside'
import { addEntry, ownRow } from './keep'
import { dropReceived, LET_GO } from './let-go'
import { refusedAndGone } from './notices'
import type { Seen } from './seen'
import { raiseSeq } from './sequence'
import { keepSingle, putSingle, readSingle, single } from './singles'
import type { Device, EnrolmentReceipt, Joining, Sealed } from './types'

const JOINED_IN: Names = ['entries', 'views', 'values', 'photos', 'things']

/** Who this phone is in a workshop: coming in, being in, and being withdrawn or signed out. */
export class Enrolment {
  constructor(private readonly inside: Inside) {}

  /** The device is known before the workshop is asked: a lost answer must not lose the key. */
  joining(): Promise<Joining | null> {
    return readSingle(this.inside.db, 'joining')
  }

  keepJoining(joining: Joining): Promise<void> {
    return keepSingle(this.inside.db, 'joining', joining)
  }

  /** This phone is in: who it is, its first entry and its `seq`, and the ledger that has them, at once. */
  async joined({ device, entry }: Joining, index: number, seen: Seen): Promise<void> {
    await this.inside.keeper.keepKey(device)
    await this.inside.keeper.journal(device, entry)
    await this.inside.db.change(JOINED_IN, async (tx) => {
      const kept = await tx.objectStore('entries').getKey(entry.id)
      const row: EntryRow = { ...(await ownRow(tx, entry)), index }
      delete row.waiting
      if (kept === undefined) await addEntry(tx, row, entry)
      await raiseSeq(tx, device.id, entry.seq)
      await putSingle(tx, 'device', device)
      await putSingle(tx, 'sealed', null)
      await putSingle(tx, 'dropped', null) // of what it was sealed for, it may ask again
      await putSingle(tx, 'joining', null)
      await putSingle(tx, 'seen', seen)
    })
    await this.inside.keeper.joined()
    await this.inside.stirred()
  }

  /** What became known of this phone: nothing else of it is written over, and nothing of another that it is by now. */
  async learn(of: string, known: Partial<Device>): Promise<void> {
    await this.inside.db.change(['things'], async (tx) => {
      const device = await single(tx, 'device')
      if (device?.id === of) await putSingle(tx, 'device', { ...device, ...known })
    })
    await this.inside.stirred()
  }

  /** Its receipt, in each place where its key is kept: without it a workshop that was put back may not know this phone. */
  async keepReceipt(of: string, receipt: EnrolmentReceipt): Promise<void> {
    await this.inside.alone(async () => {
      const device = await readSingle(this.inside.db, 'device')
      if (device?.id !== of || !device.secret) return // enrolled anew or signed out meanwhile
      await this.inside.keeper.keepKey({ ...device, receipt })
      await this.learn(of, { receipt })
    })
  }

  /**
   * The phone is withdrawn, shut out or signed out: nothing of it is shown any more, and of its private values only those stay
   * that the workshop does not have. Asked again it lets go of what was sent since.
   *
   * @param of the device that was refused: one that this phone is no longer, or that was signed out, says nothing of it
   */
  async seal(how: Sealed, of?: string): Promise<void> {
    await this.inside.alone(async () => {
      const { gone, refused } = await this.inside.db.change(LET_GO, async (tx) => {
        const device = await single(tx, 'device')
        if (of && !(device?.id === of && device.secret)) return { gone: 0, refused: 0 }
        if (how === 'signed-out' && device) await putSingle(tx, 'device', { ...device, secret: null })
        await putSingle(tx, 'sealed', how)
        return dropReceived(tx)
      })
      if (how === 'signed-out') await this.inside.keeper.dropKey()
      if (refused) await this.inside.announce(refusedAndGone(refused))
      if (gone) await this.inside.keeper.letGo([])
    })
  }
}
