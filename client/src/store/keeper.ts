/**
 * Keeps the phone's two places agreeing, and says so when they do not.
 *
 * An act goes into the journal first: a full disk shows there, cleanly, before IndexedDB meets it.
 * IndexedDB is not trusted after a failed write: what was on it before may vanish at the next start,
 * though every transaction was complete. It is compared with the journal and written anew then.
 */
import { signal } from '@preact/signals'
import type { Entry } from '../ledger/entry'
import { actText, type Written } from './acts'
import type { Canary, Last } from './canary'
import { compare, withoutSecret, type Compared } from './compare'
import type { Database } from './database'
import type { Disk, JournalFound } from './disk'
import { keptEntry } from './entries'
import { fullUnseen, isFull, KeptMidway, NotKept, photosWait } from './errors'
import { keep, type Act } from './keep'
import type { Keyring } from './keyring'
import {
  copyMended,
  copyUnread,
  entriesLost,
  keyLost,
  oneCopy,
  photosLost,
  putBack,
  storageClosed,
  storageFailing,
  storageMended,
  wiped,
} from './notices'
import { joined, missingNumbers, numbersOf, runsOf, slotsIn, type Without } from './numbers'
import { Pictures, type Thumbnail } from './pictures'
import { keepThing, lastSeq, putSeq, putThing, readThing, thing } from './things'
import type { Device, Trouble } from './types'
import { filesSaid } from './view'

/** From this size on the journal is written anew at a start, without what is backed up; if that is a quarter of its entries. */
const LONG_BYTES = 4 * 2 ** 20
const WORTH_IT = 0.25
/**
 * More than LevelDB's log holds (4 MiB): it begins a new one, and the torn one is read no more.
 * A row stays below 64 KiB: Chromium puts larger values beside the log, into files.
 */
const CHURN_BYTES = 48 * 1024
const CHURN_ROWS = 10
const CHURN_TIMES = 10
/** The new log, the old one as a table, and some. The ballast alone is not enough for it: it goes on small acts. */
const CHURN_ROOM_BYTES = 12 * 2 ** 20

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
  /** What happened to what this phone keeps; each stands until somebody has read it. */
  readonly notices = signal<Trouble[]>([])
  readonly pictures: Pictures
  #disk: Disk | null
  #isHeld = false
  /** The two places have been looked at since the app was opened. */
  #isSeen = false
  /** There is a journal, and what is in it is not known: numbers in it could be given twice. */
  #isUnread = false
  #isFull = false
  #isDoubted = false
  #isMidway = false
  /** The browser has closed the storage, and it has not been looked at since. */
  #isClosed = false
  #waitsForRoom = false
  /** How often the two places were compared: what was counted before may be no longer so. */
  comparisons = 0
  #last: Last | null = null
  /** What the canary said when both places were last compared. */
  #heard: Last | null = null

  constructor(
    private readonly db: Database,
    private readonly options: KeeperOptions,
  ) {
    this.#disk = options.disk
    this.pictures = new Pictures(db, () => this.#disk, options.thumbnail, options.now)
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
      await this.#disk?.dropBallast()
      await this.#look().catch((again: unknown) => {
        throw isFull(again) ? new NotKept(fullUnseen, again) : again
      })
    }
  }

  /** Nothing is added to what nobody has looked at, or what has failed: a start that failed is made up for. */
  async seen(): Promise<void> {
    if (!this.#isSeen) await this.start()
    await this.mend()
  }

  async #look(): Promise<void> {
    const kept = (await readThing(this.db, 'notices')) ?? []
    this.notices.value = this.#isClosed ? [...kept, storageClosed] : kept
    await this.#hearCanary()
    await this.#agree(await this.#openJournal())
    await this.#findPhotos()
    await this.#missPhotos()
    this.#isSeen = true
    if (await readThing(this.db, 'device')) await this.prepare()
    await this.pictures.moveToFiles().catch(unlessFull)
    await this.pictures.free(async () => this.#isFull && !(await this.#makeBallast()))
    if (this.#isFull) await this.prepare()
  }

  /** Room that is given up when there is no other: made when a phone is enrolled. */
  async prepare(): Promise<void> {
    await this.#setFull(!(await this.#makeBallast()))
  }

  get isUnread(): boolean {
    return this.#isUnread
  }

  get isDoubted(): boolean {
    return this.#isDoubted
  }

  /** True while something here is to be tried again later. */
  get waits(): boolean {
    return !this.#isSeen || this.#isUnread || this.#isDoubted || this.#isFull
  }

  /** Some time has gone by: what could not be read may be readable now, and room may be back. */
  async again(): Promise<void> {
    if (!this.#isSeen || this.#isUnread) await this.start()
    if (this.#isDoubted) await this.mend()
    else if (this.#isFull && (await this.#makeBallast())) await this.#setFull(false)
  }

  /** Enrolled: who writes here from now on. */
  async joined(): Promise<void> {
    const device = await readThing(this.db, 'device')
    if (device) await this.#setOut(device)
    await this.prepare()
    this.options.persist()
  }

  /** The storage failed or went away: it is looked at before anything else is written. */
  doubt(): void {
    this.#isDoubted = true
  }

  /** Said at once: after a wipe Chromium may answer nothing of an origin for half a minute, and nobody knows what is left until then. */
  closed(): void {
    this.#isDoubted = this.#isClosed = true
    this.notices.value = [
      ...this.notices.value.filter(({ code }) => code !== storageClosed.code),
      storageClosed,
    ]
  }

  /** It has been looked at: what is said now is what was found. */
  async reopened(): Promise<void> {
    this.#isClosed = false
    await this.#unsay(storageClosed.code)
  }

  async keep(act: Act): Promise<void> {
    if (this.#isMidway) throw new KeptMidway()
    if (!this.#isSeen || this.#isUnread) await this.start()
    if (this.#isUnread) throw new NotKept(copyUnread)
    await this.mend()
    if (act.photos.length && this.#isFull && !(await this.#findRoom())) throw new NotKept(photosWait)
    try {
      await this.#keepOnce(act)
    } catch (error) {
      if (isFull(error)) await this.#giveUpBallast(error, act)
      else if (isShaken(error)) this.doubt()
      else throw error
      await this.mend()
      await this.#keepOnce(act)
    }
    await this.#remember(act.entries)
  }

  /** Entries that were signed outside an act: the enrolment. */
  async journal(device: Device, entry: Entry): Promise<void> {
    if (this.#isHeld)
      await this.#disk?.append(
        actText({ entries: [entry.line], values: [], photos: [], device: withoutSecret(device) }),
      )
  }

  /** The key once more; that it cannot be kept twice does not make the device less enrolled. */
  async keepKey(device: Device): Promise<void> {
    await this.options.keyring.keep(device).catch(() => this.#say(oneCopy))
  }

  /** After a failure: what the journal has more is put back, and the log that was torn is left behind. */
  async mend(): Promise<void> {
    if (!this.#isDoubted || (this.#waitsForRoom && !(await this.#hasRoom()))) return
    try {
      await this.#disk?.dropBallast()
      await this.db.close().catch(() => undefined)
      await this.#hearCanary()
      const agreed = await this.#agree(await this.#openJournal())
      this.#waitsForRoom = !(await this.#hasRoom())
      if (this.#waitsForRoom) return await this.#say(storageFailing)
      await this.#churn()
      this.#isDoubted = false
      await this.#unsay(storageFailing.code)
      if (agreed.isWhole && !agreed.putBack) await this.#say(storageMended)
      if (!this.#isFull) await this.prepare()
    } catch (error) {
      if (!(error instanceof DOMException)) throw error
      await this.#say(storageFailing)
      if (!this.#isHeld) throw error // without a second copy nothing may be claimed now
    }
  }

  /** What was let go of goes from the second copy, too, and the files of photos; what it cannot do now the next start does. */
  async letGo(photos: readonly string[]): Promise<void> {
    for (const blob of photos) await this.#disk?.removePhoto(blob)
    await this.#agree(await this.#openJournal())
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
    // What was told of a loss may be lost itself until the storage is mended: then it is to be told again.
    const isStillNeeded = this.#isDoubted && this.#heard !== null && this.#heard.device !== this.#last?.device
    if (this.#last && !isStillNeeded)
      await this.options.canary?.write({ ...this.#last, waiting }).catch(() => undefined)
  }

  async dismiss(code: string): Promise<void> {
    await this.#unsay(code)
    if (!this.#tellsOfLoss) await keepThing(this.db, 'unread', null).catch(() => undefined) // it is told once more then
  }

  /** What was told of a loss stands. */
  get #tellsOfLoss(): boolean {
    return this.notices.value.some(({ code }) => LOSSES.includes(code))
  }

  async #keepOnce(act: Act): Promise<void> {
    try {
      await keep(this.db, this.#isHeld ? this.#disk : null, act)
    } catch (error) {
      if (error instanceof KeptMidway) [this.#isMidway, this.#isDoubted] = [true, true]
      throw error
    }
  }

  /** From now on steps and readings only. Without ballast there is nothing to give, and the failure stands. */
  async #giveUpBallast(error: unknown, act: Act): Promise<void> {
    const had = await this.#disk?.dropBallast()
    if (had) await this.#setFull(true)
    if (act.photos.length && this.#isFull) throw new NotKept(photosWait, error)
    if (!had) throw error
  }

  /** Space may have come back, or photos that are backed up can go. */
  async #findRoom(): Promise<boolean> {
    await this.prepare()
    if (this.#isFull) await this.pictures.free(async () => !(await this.#makeBallast()))
    await this.prepare()
    return !this.#isFull
  }

  async #hasRoom(): Promise<boolean> {
    return (await this.#disk?.hasRoom(CHURN_ROOM_BYTES)) ?? true
  }

  async #makeBallast(): Promise<boolean> {
    return (await this.#disk?.makeBallast()) ?? true
  }

  async #setFull(isFullNow: boolean): Promise<void> {
    this.#isFull = isFullNow
    if (isFullNow) await this.#say(photosWait)
    else await this.#unsay(photosWait.code)
  }

  async #openJournal(): Promise<JournalFound | null> {
    const disk = this.#disk
    if (!disk) return null
    // Once more with a new handle; what can be read only still heals.
    const first = await disk.openJournal().catch(() => null)
    const found = first?.isHeld ? first : ((await disk.openJournal().catch(() => null)) ?? first)
    this.#isHeld = found?.isHeld ?? false
    this.#isUnread = found === null && (await this.#mayHaveJournal())
    await this.#sayIf(this.#isUnread, copyUnread)
    await this.#sayIf(!this.#isHeld && !this.#isUnread, oneCopy)
    return found
  }

  /** A database that is new though somebody wrote here is a lost one; that is noted, for it looks whole from then on. */
  async #mayHaveJournal(): Promise<boolean> {
    if ((await readThing(this.db, 'journaled')) !== null) return true
    const isLost = this.#heard !== null && (await readThing(this.db, 'device')) === null
    if (isLost) await keepThing(this.db, 'journaled', 1)
    return isLost
  }

  /** Put right what one place lacks, and tell of what is in neither. While one cannot be read, nobody knows what that is. */
  async #agree(found: JournalFound | null): Promise<{ putBack: number; isWhole: boolean }> {
    this.comparisons += 1
    const compared =
      found && (await compare(this.db, found.acts, this.#heard?.seq ?? 0, this.options.now().toISOString()))
    await this.#knowWho()
    if (this.#isUnread) return { putBack: 0, isWhole: false }
    const isWhole = !(await this.#missNumbers(compared?.slots ?? null))
    if (compared?.putBack) await this.#say(putBack(compared.putBack, isWhole))
    await this.#missKey()
    if (found?.isHeld && compared) await this.#mendJournal(found, compared, isWhole)
    if (found) this.#isMidway = false
    return { putBack: compared?.putBack ?? 0, isWhole }
  }

  async #mendJournal(
    found: JournalFound,
    { whole, spare, notInJournal: lacking, isStale }: Compared,
    isWhole: boolean,
  ): Promise<void> {
    const isNew = (await readThing(this.db, 'journaled')) === null
    const isTooLong = found.bytes > LONG_BYTES && spare >= WORTH_IT
    if (found.damaged || isTooLong || isStale) await this.#disk?.rewrite([actText(whole)])
    else if (!isEmpty(lacking)) await this.#disk?.append(actText(lacking))
    if (isNew) await keepThing(this.db, 'journaled', 1)
    if (found.damaged || (!isNew && lacking.entries.length))
      await this.#say(copyMended(lacking.entries.length, isWhole))
  }

  /** A phone that lost its key takes it from the ring, if it is known how far that key had written. */
  async #knowWho(): Promise<void> {
    const device = await readThing(this.db, 'device')
    if (device) return this.#setOut(device)
    const kept = await this.options.keyring.read().catch(() => null)
    const last = this.#heard
    const seq = kept && (await this.db.read(['things'], (tx) => lastSeq(tx, kept.id)))
    const known = Math.max(seq ?? 0, last && last.device === kept?.id ? last.seq : 0)
    if (kept && known > 0) {
      await this.db.change(['things'], (tx) => putThing(tx, 'device', kept))
      await this.#setOut(kept)
    }
  }

  async #missKey(): Promise<void> {
    if (await readThing(this.db, 'device')) return
    const entries = await this.db.read(['entries'], (tx) => tx.objectStore('entries').index('slot').count())
    if (entries) await this.#say(keyLost(entries, this.#heard?.workshopName ?? ''))
  }

  async #setOut(device: Device): Promise<void> {
    const row = await this.db.read(['entries', 'things'], async (tx) => {
      const seq = await lastSeq(tx, device.id)
      return tx.objectStore('entries').index('slot').get(`${device.id} ${seq}`)
    })
    if (!row) return
    const seq = Number(row.slot?.split(' ')[1])
    this.#last = {
      device: device.id,
      seq,
      head: row.id,
      job: row.job || null,
      waiting: 0,
      workshopName: device.workshopName,
    }
  }

  async #remember(entries: Entry[]): Promise<void> {
    const entry = entries.at(-1)
    const workshopName = this.#last?.workshopName ?? (await readThing(this.db, 'device'))?.workshopName ?? ''
    if (entry)
      this.#last = {
        device: entry.device,
        seq: entry.seq,
        head: entry.id,
        job: entry.job,
        waiting: 0,
        workshopName,
      }
  }

  async #hearCanary(): Promise<void> {
    this.#heard = (await this.options.canary?.read().catch(() => null)) ?? null
  }

  /** Numbers that nothing has: before the last that is here, or before what the canary knows of. True if there were any. */
  async #missNumbers(slots: string[] | null): Promise<boolean> {
    const last = this.#heard
    const upTo = new Map(last ? [[last.device, last.seq]] : [])
    const { missing, without, unread, isHere } = await this.db.read(['entries', 'things'], async (tx) => {
      const told = (await thing(tx, 'without')) ?? {}
      const device = await thing(tx, 'device')
      // While the canary names a device that this phone was before, what was told of it may have been lost since.
      const former = device && last?.device !== device.id ? last?.device : undefined
      const without = Object.fromEntries(Object.entries(told).filter(([name]) => name !== former))
      return {
        missing: await missingNumbers(tx, slots ?? (await slotsIn(tx)), upTo, without),
        without: told,
        unread: (await thing(tx, 'unread')) ?? {},
        isHere: device !== null || (await tx.objectStore('entries').index('slot').count()) > 0,
      }
    })
    const told: Without = Object.fromEntries(
      [...missing].map(([device, numbers]) => [device, runsOf(numbers)]),
    )
    const [all, stands] = [joined(without, told), joined(unread, told)]
    const lost = Object.values(stands).flatMap(numbersOf)
    // What was told may have gone with a torn log, and the journal still know that nobody had read it.
    const isNews = missing.size > 0 || (lost.length > 0 && !this.#tellsOfLoss)
    if (isNews) await this.#say(isHere || !last ? entriesLost(lost) : wiped(last))
    // The loss is told once; numbers that were used are not given twice, though they were told before and the count is lost.
    const used = [
      ...upTo,
      ...Object.entries(all).map(([device, runs]) => [device, runs.at(-1)?.[1] ?? 0] as const),
    ]
    if (!missing.size && !(await this.#isBehind(used))) return isNews
    await this.db.change(['things'], async (tx) => {
      await putThing(tx, 'without', all)
      if (missing.size) await putThing(tx, 'unread', stands)
      for (const [device, seq] of used) await putSeq(tx, device, Math.max(seq, await lastSeq(tx, device)))
    })
    return isNews
  }

  #isBehind(used: (readonly [device: string, seq: number])[]): Promise<boolean> {
    return this.db.read(['things'], async (tx) => {
      for (const [device, seq] of used) if ((await lastSeq(tx, device)) < seq) return true
      return false
    })
  }

  /**
   * Photos that nothing here knows any more: the database went, and the journal no longer named what the workshop
   * had. It may have lost them since, and a phone that reads nothing is not asked for them: they are offered again.
   * Where entries were lost nobody can say which photos they named: all that is here is.
   */
  async #findPhotos(): Promise<void> {
    const here = await this.pictures.here()
    const { known, dropped, without } = await this.db.read(['photos', 'things'], async (tx) => ({
      known: await tx.objectStore('photos').getAllKeys(),
      dropped: (await thing(tx, 'dropped')) ?? [],
      without: (await thing(tx, 'without')) ?? {},
    }))
    for (const blob of [...known, ...dropped]) here.delete(blob)
    if (!here.size) return
    const rows = await this.db.read(['entries'], (tx) => tx.objectStore('entries').getAll())
    const own = rows.filter(({ mine }) => mine === 1)
    const found = own
      .flatMap(({ id, line }) => filesSaid(keptEntry(line, id)))
      .filter(({ blob }) => here.delete(blob))
    if (Object.keys(without).length)
      for (const blob of here) found.push(...(await this.pictures.described(blob)))
    await this.db.change(['photos'], async (tx) => {
      for (const photo of found) await tx.objectStore('photos').put({ ...photo, waiting: 1 })
    })
  }

  async #missPhotos(): Promise<void> {
    const here = await this.pictures.here()
    const lost = await this.db.read(['photos'], (tx) => tx.objectStore('photos').index('waiting').getAll())
    const gone = lost.filter(({ blob, refused }) => !here.has(blob) && !refused)
    if (!gone.length) return
    const told = photosLost(gone.length)
    await this.db.change(['photos'], async (tx) => {
      for (const row of gone) await tx.objectStore('photos').put({ ...row, refused: told })
    })
    await this.#say(told)
  }

  async #churn(): Promise<void> {
    const rows = Array.from({ length: CHURN_ROWS }, (_, i) => `churn ${i}`)
    for (let time = 0; time < CHURN_TIMES; time++) {
      await this.db.change(['things'], async (tx) => {
        const bytes = crypto.getRandomValues(new Uint8Array(CHURN_BYTES))
        for (const row of rows) await tx.objectStore('things').put(bytes.buffer, row)
      })
    }
    await this.db.change(['things'], async (tx) => {
      for (const row of rows) await tx.objectStore('things').delete(row)
    })
  }

  /** On the screen in any case; kept for the next start if the storage lets us. */
  announce(trouble: Trouble): Promise<void> {
    return this.#say(trouble)
  }

  async #say(trouble: Trouble): Promise<void> {
    this.notices.value = [...this.notices.value.filter(({ code }) => code !== trouble.code), trouble]
    await this.#keepNotices()
  }

  async #sayIf(isSo: boolean, trouble: Trouble): Promise<void> {
    if (isSo) await this.#say(trouble)
    else await this.#unsay(trouble.code)
  }

  async #unsay(code: string): Promise<void> {
    if (!this.notices.value.some((said) => said.code === code)) return
    this.notices.value = this.notices.value.filter((said) => said.code !== code)
    await this.#keepNotices()
  }

  async #keepNotices(): Promise<void> {
    const kept = this.notices.value.filter(({ code }) => code !== storageClosed.code) // at the next start it is open
    await keepThing(this.db, 'notices', kept).catch(() => undefined)
  }
}

const isEmpty = ({ entries, values, photos, device, without = {}, unread = {} }: Written) =>
  entries.length +
    values.length +
    photos.length +
    Object.keys(without).length +
    Object.keys(unread).length ===
    0 && !device

/** Notices of entries that are gone. */
const LOSSES = ['entries-lost', 'phone-wiped']

/** A handle that died, of the database or of the journal: once more with a new one, after a look at both. */
const isShaken = (error: unknown) =>
  error instanceof DOMException && ['UnknownError', 'InvalidStateError', 'NotFoundError'].includes(error.name)

function unlessFull(error: unknown): void {
  if (!isFull(error)) throw error
}
