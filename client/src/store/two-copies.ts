/**
 * The database and the journal made to agree: what one lacks is put back from the other, and what is in neither is
 * told. While the journal cannot be read nobody knows what that is, and nothing is called lost.
 */
import { actText, type Written } from './acts'
import type { Announcements } from './announcements'
import { compare, withoutSecret, type Compared } from './compare'
import type { Database } from './database'
import type { Disk, JournalFound } from './disk'
import type { Keyring } from './keyring'
import { missKey, missNumbers } from './losses'
import { copyMended, copyUnread, oneCopy, putBack } from './notices'
import type { Progress } from './progress'
import { PutBack } from './put-back'
import { lastSeq } from './sequence'
import { keepSingle, putSingle, readSingle } from './singles'
import type { Copy, StorageState } from './storage-state'

/** From this size on the journal is written anew at a start, without what is backed up; if that is a quarter of its entries. */
const LONG_BYTES = 4 * 2 ** 20
const WORTH_IT = 0.25

/** What a comparison came to. */
export interface Agreed {
  putBack: number
  isWhole: boolean
}

export class TwoCopies {
  /** How often the two places were compared: what was counted before may be no longer so. */
  comparisons = 0
  readonly putBackIn = new PutBack()

  constructor(
    private readonly db: Database,
    private readonly disk: Disk | null,
    private readonly keyring: Keyring,
    private readonly state: StorageState,
    private readonly progress: Progress,
    private readonly announcements: Announcements,
    private readonly now: () => Date,
  ) {}

  /** Open the journal anew and make both agree: put right what one lacks, tell of the rest. */
  async agree(): Promise<Agreed> {
    const found = await this.#open()
    this.comparisons += 1
    const claimed = this.progress.heard?.seq ?? 0
    const compared = found && (await compare(this.db, found.acts, claimed, this.now().toISOString()))
    for (const job of compared?.putBackIn ?? []) this.putBackIn.add(job, this.comparisons)
    await this.#knowWho()
    if (this.state.copy === 'unread') return { putBack: 0, isWhole: false }
    const isWhole = !(await missNumbers(
      this.db,
      this.progress.heard,
      compared?.slots ?? null,
      this.announcements,
    ))
    if (compared?.putBack) await this.announcements.say(putBack(compared.putBack, isWhole))
    await missKey(this.db, this.progress.heard, this.announcements)
    if (found?.isHeld && compared) await this.#mendJournal(found, compared, isWhole)
    if (found) this.state.happened('agreed')
    return { putBack: compared?.putBack ?? 0, isWhole }
  }

  async #open(): Promise<JournalFound | null> {
    const disk = this.disk
    if (!disk) return null
    // Once more with a new handle; what can be read only still heals.
    const first = await disk.openJournal().catch(() => null)
    const found = first?.isHeld ? first : ((await disk.openJournal().catch(() => null)) ?? first)
    const copy = await this.#copyOf(found)
    this.state.opened(copy)
    await this.announcements.sayIf(copy === 'unread', copyUnread)
    await this.announcements.sayIf(copy === 'none' || copy === 'readonly', oneCopy)
    return found
  }

  async #copyOf(found: JournalFound | null): Promise<Copy> {
    if (found) return found.isHeld ? 'held' : 'readonly'
    return (await this.#mayHaveJournal()) ? 'unread' : 'none'
  }

  /** A database that is new though somebody wrote here is a lost one; that is noted, for it looks whole from then on. */
  async #mayHaveJournal(): Promise<boolean> {
    if ((await readSingle(this.db, 'journaled')) !== null) return true
    const isLost = this.progress.heard !== null && (await readSingle(this.db, 'device')) === null
    if (isLost) await keepSingle(this.db, 'journaled', 1)
    return isLost
  }

  async #mendJournal(
    found: JournalFound,
    { whole, spare, notInJournal: lacking, isStale }: Compared,
    isWhole: boolean,
  ): Promise<void> {
    const isNew = (await readSingle(this.db, 'journaled')) === null
    const isTooLong = found.bytes > LONG_BYTES && spare >= WORTH_IT
    if (found.damaged || isTooLong || isStale) await this.disk?.rewrite([actText(whole)])
    else if (!isEmpty(lacking)) await this.disk?.append(actText(lacking))
    if (isNew) await keepSingle(this.db, 'journaled', 1)
    if (found.damaged || (!isNew && lacking.entries.length))
      await this.announcements.say(copyMended(lacking.entries.length, isWhole))
  }

  /** A phone that lost its key takes it from the ring, if it is known how far that key had written. */
  async #knowWho(): Promise<void> {
    const device = await readSingle(this.db, 'device')
    if (device) return this.progress.takeUp(device)
    const kept = await this.keyring.read().catch(() => null)
    const last = this.progress.heard
    const seq = kept && (await this.db.read(['things'], (tx) => lastSeq(tx, kept.id)))
    const known = Math.max(seq ?? 0, last && last.device === kept?.id ? last.seq : 0)
    if (kept && known > 0) {
      await this.db.change(['things'], (tx) => putSingle(tx, 'device', kept))
      await this.progress.takeUp(kept)
    }
  }
}

/** What the journal says of an entry that was signed outside an act: the enrolment. */
export const enrolmentText = (device: Parameters<typeof withoutSecret>[0], line: string): string =>
  actText({ entries: [line], values: [], photos: [], device: withoutSecret(device) })

const isEmpty = ({ entries, values, photos, device, without = {}, unread = {} }: Written) =>
  entries.length +
    values.length +
    photos.length +
    Object.keys(without).length +
    Object.keys(unread).length ===
    0 && !device
