/**
 * Keeps the phone's two places agreeing, and says so when they do not. What is known of them is a `StorageState`.
 *
 * An act goes into the journal first: a full disk shows there, cleanly, before IndexedDB meets it.
 * IndexedDB is not trusted after a failed write: what was on it before may vanish at the next start,
 * though every transaction was complete. It is compared with the journal and written anew then.
 */
import type { Entry } from '../ledger/entry'
import { Announcements } from './announcements'
import type { Canary } from './canary'
import type { Database, PhotoRow } from './database'
import type { Disk } from './disk'
import { fullUnseen, isFull, KeptMidway, NotKept, photosWait } from './errors'
import { keep, type Act } from './keep'
import type { Keyring } from './keyring'
import { findPhotos, missPhotos } from './losses'
import { copyUnread, oneCopy, storageClosed, storageFailing, storageMended } from './notices'
import { Pictures } from './pictures'
import { Progress } from './progress'
import type { PutBack } from './put-back'
import { rollLogOver, Room } from './room'
import { readSingle } from './singles'
import { StorageState } from './storage-state'
import type { Thumbnail } from './thumbnail'
import { enrolmentText, TwoCopies } from './two-copies'
import type { Device } from './types'

export interface KeeperOptions {
  disk: Disk | null
  canary: Canary | null
  keyring: Keyring
  thumbnail: Thumbnail
  /** Ask the browser to keep what is here; some answer when their user does, so nothing waits for it. */
  persist: () => void
  now: () => Date
}

export class Keeper {
  readonly pictures: Pictures
  /** What happened to what this phone keeps. */
  readonly announcements: Announcements
  readonly #state = new StorageState()
  readonly #progress: Progress
  readonly #room: Room
  readonly #copies: TwoCopies
  readonly #disk: Disk | null

  constructor(
    private readonly db: Database,
    private readonly options: KeeperOptions,
  ) {
    const { disk, canary, keyring, thumbnail, now } = options
    this.#disk = disk
    this.pictures = new Pictures(db, disk, thumbnail, now)
    this.announcements = new Announcements(db)
    this.#progress = new Progress(db, canary)
    this.#room = new Room(disk, this.pictures, this.#state, this.announcements)
    this.#copies = new TwoCopies(db, disk, keyring, this.#state, this.#progress, this.announcements, now)
  }

  get isUnread(): boolean {
    return this.#state.copy === 'unread'
  }

  /** The two places have not been compared yet, or what that put back into the job is on no screen. */
  isBlindTo(job: string | null): boolean {
    return !this.#state.isSeen || this.putBackIn.isUndrawn(job)
  }

  get isDoubted(): boolean {
    return this.#state.isDoubted
  }

  /** True while something here is to be tried again later. */
  get waits(): boolean {
    return this.#state.waits
  }

  get putBackIn(): PutBack {
    return this.#copies.putBackIn
  }

  get comparisons(): number {
    return this.#copies.comparisons
  }

  /**
   * Before the first act of this tab: look at both places, put right what can be, tell of the rest.
   * What puts right needs room and a handle itself: the ballast goes, and it is tried once more. A phone
   * that gave up here would look as if it belonged to nobody, with all its work in the journal.
   */
  async start(): Promise<void> {
    try {
      await this.#look()
    } catch (error) {
      if (!isFull(error) && !isShaken(error)) throw error
      await this.#room.drop()
      await this.#look().catch((again: unknown) => {
        throw isFull(again) ? new NotKept(fullUnseen, again) : again
      })
    }
  }

  /** Nothing is added to what nobody has looked at, or what has failed: a start that failed is made up for. */
  async seen(): Promise<void> {
    if (!this.#state.isSeen) await this.start()
    await this.mend()
  }

  async #look(): Promise<void> {
    await this.announcements.restore()
    await this.#progress.hear()
    await this.#copies.agree()
    await findPhotos(this.db, this.pictures)
    await missPhotos(this.db, this.pictures, this.announcements)
    this.#state.looked()
    if (await readSingle(this.db, 'device')) await this.#room.prepare()
    await this.#room.tidy()
  }

  /** Some time has gone by: what could not be read may be readable now, and room may be back. */
  async again(): Promise<void> {
    if (!this.#state.isSeen || this.isUnread) await this.start()
    if (this.isDoubted) await this.mend()
    else if (this.#state.isFull) await this.#room.again()
  }

  /** The storage failed or went away: it is looked at before anything else is written. */
  doubt(): void {
    this.#state.happened('failed')
  }

  /** Said at once: after a wipe Chromium may answer nothing of an origin for half a minute, and nobody knows what is left until then. */
  closed(): void {
    this.doubt()
    this.announcements.show(storageClosed)
  }

  /** It has been looked at: what is said now is what was found. */
  async reopened(): Promise<void> {
    await this.announcements.unsay(storageClosed.code)
  }

  /**
   * Kept in both places when this resolves, with the photos that are new here, or null where that is not known; nothing
   * of it is kept when it rejects, but with `KeptMidway`.
   */
  async keep(act: Act): Promise<PhotoRow[] | null> {
    if (this.#state.trust === 'midway') throw new KeptMidway()
    if (!this.#state.isSeen || this.isUnread) await this.start()
    if (this.isUnread) throw new NotKept(copyUnread)
    await this.mend()
    const hasPhotos = act.photos.length > 0
    if (hasPhotos && this.#state.isFull && !(await this.#room.find())) throw new NotKept(photosWait)
    const added = await this.#keepOnce(act).catch(async (error: unknown) => {
      if (isFull(error)) await this.#room.give(error, hasPhotos)
      else if (isShaken(error)) this.doubt()
      else throw error
      await this.mend()
      return this.#keepOnce(act)
    })
    await this.#progress.wrote(act.entries)
    return added
  }

  async #keepOnce(act: Act): Promise<PhotoRow[] | null> {
    try {
      return await keep(this.db, this.#state.copy === 'held' ? this.#disk : null, act)
    } catch (error) {
      if (error instanceof KeptMidway) this.#state.happened('cut')
      throw error
    }
  }

  /** After a failure: what the journal has more is put back, and the log that was torn is left behind. */
  async mend(): Promise<void> {
    if (!this.isDoubted || (this.#state.trust === 'cramped' && !(await this.#room.hasLogs()))) return
    try {
      await this.#mendOnce()
    } catch (error) {
      if (!(error instanceof DOMException)) throw error
      await this.announcements.say(storageFailing)
      if (this.#state.copy !== 'held') throw error // without a second copy nothing may be claimed now
    }
  }

  async #mendOnce(): Promise<void> {
    await this.#room.drop()
    await this.db.close().catch(() => undefined)
    await this.#progress.hear()
    const agreed = await this.#copies.agree()
    const hasRoom = await this.#room.hasLogs()
    this.#state.happened(hasRoom ? 'roomy' : 'cramped')
    if (!hasRoom) return this.announcements.say(storageFailing)
    await rollLogOver(this.db)
    this.#state.happened('mended')
    await this.announcements.unsay(storageFailing.code)
    if (agreed.isWhole && !agreed.putBack) await this.announcements.say(storageMended)
    if (!this.#state.isFull) await this.#room.prepare()
  }

  /** What was let go of goes from the second copy, too, and the files of photos; what it cannot do now the next start does. */
  async letGo(photos: readonly string[]): Promise<void> {
    for (const blob of photos) await this.#disk?.removePhoto(blob)
    await this.#copies.agree()
  }

  /** An entry that was signed outside an act, into the journal: the enrolment. */
  async journal(device: Device, entry: Entry): Promise<void> {
    if (this.#state.copy === 'held') await this.#disk?.append(enrolmentText(device, entry.line))
  }

  /** Enrolled: who writes here from now on. */
  async joined(): Promise<void> {
    const device = await readSingle(this.db, 'device')
    if (device) await this.#progress.takeUp(device)
    await this.#room.prepare()
    this.options.persist()
  }

  /** The key once more; that it cannot be kept twice does not make the device less enrolled. */
  async keepKey(device: Device): Promise<void> {
    await this.options.keyring.keep(device).catch(() => this.announcements.say(oneCopy))
  }

  /** The key goes: only the phone's own word, that it was signed out, stays of it. */
  async dropKey(): Promise<void> {
    await this.options.keyring.drop()
  }

  /** Tell the canary how far this phone has come. It is told late or not at all, but never waited for. */
  perch(waiting: number): void {
    void this.leaveWord(waiting)
  }

  /** The same, waited for: the browser may have thrown the canary away with the rest. */
  async leaveWord(waiting: number): Promise<void> {
    await this.#progress.tell(waiting, this.isDoubted)
  }
}

/** A handle that died, of the database or of the journal: once more with a new one, after a look at both. */
const isShaken = (error: unknown) =>
  error instanceof DOMException && ['UnknownError', 'InvalidStateError', 'NotFoundError'].includes(error.name)
