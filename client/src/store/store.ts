/** The store itself: one writing tab, one act at a time, and signals that say what is kept where. */
import { batch, signal } from '@preact/signals'
import type { Entry } from '../ledger/entry'
import { Blobs } from './blobs'
import { nothingYet, withMore } from './counts'
import { Database } from './database'
import { Enrolment } from './enrolment'
import {
  asTrouble,
  cameBack,
  fullUnseen,
  isFull,
  newerWindow,
  NotKept,
  notEnrolled,
  secondTab,
  seenInFirst,
} from './errors'
import type { Inside } from './inside'
import { Keeper, type KeeperOptions } from './keeper'
import { LedgerAlarm } from './ledger-alarm'
import type { Act } from './keep'
import { LastAct, type Before } from './last-act'
import { LedgerCopy } from './ledger-copy'
import { OutgoingPhotos } from './outgoing-photos'
import { PhotoFiles, type MakeWorker } from './photo-files'
import { PrivateValues } from './private-values'
import { Reader } from './reading'
import { keepSingle, readSingle } from './singles'
import type { Ahead, Counts, Device, Intent, Sealed, Store, Trouble, Writing } from './types'
import { ActInWriting, type Surroundings } from './writing'

export interface Options extends Omit<Surroundings, 'photoFile'>, Omit<KeeperOptions, 'now' | 'persist'> {
  /** Makes photos ready beside the screen's thread. */
  photoWorker: MakeWorker
  /** Resolves when what is drawn now has been painted; null where nothing is. */
  painted: (() => Promise<void>) | null
  /** Name of the database; also of the lock and of the channel between tabs. */
  name: string
  locks: Pick<LockManager, 'request'>
  /** Null where a browser makes no promises. */
  persistence: Pick<StorageManager, 'persist' | 'persisted'> | null
}

/** Between two looks at what the storage could not do; while a copy cannot be read no act is kept, so that is looked at soon. */
const AGAIN_MS = 30_000
const SOON_MS = 3_000

/** Chosen: a finger that rests longer on its key than this does what it does when it is lifted. */
const SAME_TIME_MS = 1_000

type Build = (writing: Writing) => Promise<void>

interface Signed {
  act: Act
  before: Before
  /** Id of the device that signed. */
  device: string
  at: Date
}

export class PhoneStore implements Store {
  readonly device = signal<Device | null>(null)
  readonly writer = signal(false)
  readonly beside = signal(false)
  readonly trouble = signal<Trouble | null>(null)
  readonly changed = signal(0)
  readonly places = signal<Counts>(nothingYet)
  readonly counted = signal(false)
  readonly persisted = signal(false)
  readonly sealed = signal<Sealed | null>(null)
  readonly notices: Keeper['announcements']['standing']

  /** Resolves when a screen can be shown. The two places may still be compared, and nothing can be written before they agree. */
  readonly known: Promise<void>
  #isKnown: () => void = () => undefined
  readonly #db: Database
  readonly #keeper: Keeper
  readonly #reader: Reader
  readonly #photoFiles: PhotoFiles
  readonly #lastAct: LastAct
  readonly #channel: BroadcastChannel
  #turn: Promise<unknown> = Promise.resolve()
  #asking: Promise<void> | null = null
  #again: ReturnType<typeof setTimeout> | null = null
  /** Counts of all that is kept: how many were begun, and how many are under way. */
  #looks = 0
  #looking = 0

  /** What sync works with: what waits, what came in, and what the workshop has said. */
  readonly ledger: LedgerCopy
  readonly values: PrivateValues
  readonly photos: OutgoingPhotos
  readonly blobs: Blobs
  readonly enrolment: Enrolment
  readonly alarm: LedgerAlarm
  /** For those that sync brings along itself: no first screen needs them. */
  readonly inside: Inside

  readonly log: Reader['log']
  readonly statements: Reader['statements']
  readonly unreadBy: Reader['unreadBy']
  readonly job: Reader['job']
  readonly jobs: Reader['jobs']
  readonly views: Reader['views']
  readonly secretValue: Reader['secretValue']
  readonly photo: Reader['photo']
  readonly photoPlace: Reader['photoPlace']
  readonly bundle: Reader['bundle']
  readonly bundles: Reader['bundles']
  readonly asset: Reader['asset']

  constructor(private readonly options: Options) {
    this.known = new Promise((resolve) => {
      this.#isKnown = resolve
    })
    this.#db = new Database(options.name, {
      failed: () => this.#mendNext(),
      lost: () => this.#lookAgain(),
      letGo: () => {
        this.trouble.value = newerWindow
      },
      unblocked: () => void this.open(),
    })
    this.#keeper = new Keeper(this.#db, { ...options, persist: () => this.#persist() })
    this.notices = this.#keeper.announcements.standing
    this.#photoFiles = new PhotoFiles(options.photoWorker)
    this.#lastAct = new LastAct(this.#db)
    this.#reader = new Reader(this.#db, this.#keeper.pictures, options.now)
    const inside = this.#inside()
    this.inside = inside
    this.ledger = new LedgerCopy(inside)
    this.values = new PrivateValues(inside)
    this.photos = new OutgoingPhotos(inside)
    this.blobs = new Blobs(inside)
    this.enrolment = new Enrolment(inside)
    this.alarm = new LedgerAlarm(inside)
    this.#channel = new BroadcastChannel(options.name)
    this.#channel.onmessage = () => void this.#look().catch((error: unknown) => this.#show(error))
    const reader = this.#reader
    this.log = (job) => this.#keeper.putBackIn.reading(job, () => reader.log(job))
    this.statements = reader.statements.bind(reader)
    this.unreadBy = reader.unreadBy.bind(reader)
    this.job = reader.job.bind(reader)
    this.jobs = reader.jobs.bind(reader)
    this.views = reader.views.bind(reader)
    this.secretValue = reader.secretValue.bind(reader)
    this.photo = reader.photo.bind(reader)
    this.photoPlace = reader.photoPlace.bind(reader)
    this.bundle = reader.bundle.bind(reader)
    this.bundles = reader.bundles.bind(reader)
    this.asset = reader.asset.bind(reader)
  }

  #inside(): Inside {
    return {
      db: this.#db,
      keeper: this.#keeper,
      now: this.options.now,
      stirred: () => this.#stirred(),
      alone: (act) => this.#inTurn(act, () => this.#stirred()),
      announce: (trouble) => this.announce(trouble),
    }
  }

  /**
   * Read what is kept, try for the lock, and compare the two places. A phone whose storage does not answer says so on
   * screen. Resolves when all of it is done; acts wait for that, and a screen waits for `known` only.
   *
   * @param first what a first screen that shows no count is read by; nothing else is read before it stands
   */
  async open(first: Promise<void> | null = null): Promise<void> {
    const [before, opening] = [this.#turn, this.#open(first)]
    this.#turn = before.then(() => opening.catch(() => undefined))
    await opening
  }

  async #open(first: Promise<void> | null): Promise<void> {
    try {
      if (first && (await this.#isOurs().catch(() => false))) {
        this.#isKnown()
        await first
      }
      await this.#look().catch((error: unknown) => {
        if (!isFull(error)) throw error // the keeper makes room, or says that there is none
      })
      this.trouble.value = null
      // Who this phone is may be in the other copy alone: only then is that waited for.
      if (this.device.value) this.#isKnown()
      await this.#queueForLock()
    } catch (error) {
      this.#show(error)
    }
    this.#isKnown()
    this.persisted.value = (await this.options.persistence?.persisted()) ?? false
  }

  /** Who this phone is, without a count of what it holds; false where that alone does not do for a screen. */
  async #isOurs(): Promise<boolean> {
    const [device, sealed] = await Promise.all([
      readSingle(this.#db, 'device'),
      readSingle(this.#db, 'sealed'),
    ])
    if (!device || sealed) return false
    this.device.value = device
    return true
  }

  /** Resolves when nothing is under way: who may write is known, and it has compared the two places; rejects if it cannot. */
  async settled(): Promise<void> {
    await this.#turn
    if (this.writer.value)
      await this.#inTurn(
        () => this.#keeper.seen(),
        () => this.#look(),
      )
  }

  async close(): Promise<void> {
    this.#channel.close()
    this.#letGo?.()
    if (this.#again !== null) clearTimeout(this.#again)
    await this.#turn.catch(() => undefined)
    await this.options.disk?.close()
    await this.#db.close()
  }

  async write(job: string | null, build: Build, ahead?: Ahead): Promise<Entry[]> {
    // What fails now is told when it fails again in its turn.
    const signed = ahead && this.#sign(job, build, ahead.inMs).catch(() => null)
    if (ahead) await ahead.held
    let grown = (): Counts | null => null
    const tell = () => {
      const places = grown()
      if (!places) this.changed.value += 1 // a count may take longer than the mark is seen: the log is read again before it
      return this.#stirred(places)
    }
    const isBlind = !this.writer.value || this.#keeper.isBlindTo(job) // its screen does not know of a comparison
    const [kept] = this.#turned(
      async () => {
        if (isBlind && this.#keeper.putBackIn.has(job)) throw new NotKept(cameBack)
        const { act, before, device } = this.#ifStill(await signed) ?? (await this.#sign(job, build))
        const [counted, photos] = [this.#counted, await this.#keeper.keep(act)]
        if (act.entries.some(({ kind }) => kind === 'job.opened')) this.#persist()
        grown = () => {
          const opened = this.#lastAct.kept(before, act.entries, device)
          return photos && counted !== null && counted === this.#counted
            ? withMore(this.places.value, act.entries.length, opened, photos)
            : null
        }
        return act.entries
      },
      // The act's mark comes first: nobody who sees it waits for what follows.
      () => this.options.painted?.().then(tell) ?? tell(),
    )
    return kept
  }

  /** What an act is, as it follows from what is kept now. It changes nothing here. */
  async #sign(job: string | null, build: Build, inMs = 0): Promise<Signed> {
    const device = this.device.value
    if (!device?.secret) throw new NotKept(notEnrolled)
    const at = new Date(this.options.now().getTime() + inMs)
    const before = await this.#lastAct.before(job, device.id)
    const around = { ...this.options, now: () => at, photoFile: (photo: Blob) => this.#photoFiles.of(photo) }
    const writing = new ActInWriting(job, { ...device, secret: device.secret }, around, {
      seq: before.seq,
      heads: before.view.heads,
    })
    await build(writing)
    return { act: await writing.whole(), before, device: device.id, at }
  }

  /** Signed ahead it is as good as signed now: by the same device, upon the same log, and its time is this. */
  #ifStill(signed: Signed | null | undefined): Signed | null {
    return signed &&
      signed.device === this.device.value?.id &&
      signed.before.touched === this.#db.logsTouched &&
      Math.abs(this.options.now().getTime() - signed.at.getTime()) <= SAME_TIME_MS
      ? signed
      : null
  }

  expectPhoto(photo: Blob): void {
    this.#photoFiles.expect(photo)
  }

  async photoId(photo: Blob): Promise<string> {
    return (await this.#photoFiles.of(photo)).blob
  }

  async thumb(sha: string): Promise<Blob | null> {
    return (await this.#reader.isHidden(sha)) ? null : this.#keeper.pictures.thumb(sha)
  }

  signOut(): Promise<void> {
    return this.enrolment.seal('signed-out')
  }

  /** Say something that stands until it is dismissed. */
  announce(trouble: Trouble): Promise<void> {
    return this.#keeper.announcements.say(trouble)
  }

  dismiss(code: string): Promise<void> {
    return this.#keeper.announcements.dismiss(code)
  }

  // A file is written seldom: its writer is evaluated when one is.
  async exportJob(job: string): Promise<Blob> {
    const { exportJob } = await import('./exporting')
    return exportJob(this.#db, this.#keeper.pictures, job)
  }

  async exportAll(): Promise<Blob> {
    const { exportAll } = await import('./exporting')
    return exportAll(this.options.name, this.options.disk)
  }

  setting(name: string): Promise<string | null> {
    return this.#db.read(['things'], async (tx) => {
      const value = await tx.objectStore('things').get(`setting ${name}`)
      return typeof value === 'string' ? value : null
    })
  }

  async setSetting(name: string, value: string): Promise<void> {
    await this.#db.change(['things'], (tx) => tx.objectStore('things').put(value, `setting ${name}`))
  }

  intent(): Promise<Intent | null> {
    return readSingle(this.#db, 'intent')
  }

  setIntent(intent: Intent | null): Promise<void> {
    return this.#inTurn(
      () => keepSingle(this.#db, 'intent', intent),
      () => this.#stirred(this.places.value),
    )
  }

  #letGo: (() => void) | null = null

  /** Resolves with the first verdict; a second tab goes on waiting and takes over when the first is closed. */
  async #queueForLock(): Promise<void> {
    const name = `${this.options.name} writer`
    const hold = async (ready?: () => void) => {
      this.#setBeside(false)
      const begun = this.#begin().then(() => {
        this.writer.value = true
      })
      this.#turn = this.#turn.then(() => begun) // whoever acts in a window that has just taken over waits, too
      await begun
      ready?.()
      await new Promise<void>((resolve) => {
        this.#letGo = resolve
      })
    }
    const free = await new Promise<boolean>((answer) => {
      void this.options.locks.request(name, { ifAvailable: true }, (lock) =>
        lock ? hold(() => answer(true)) : answer(false),
      )
    })
    this.#setBeside(!free)
    if (!free) void this.options.locks.request(name, () => hold())
  }

  #setBeside(isBeside: boolean): void {
    this.beside.value = isBeside
    this.#sayWhoKnows()
  }

  /** A storage that the first window cannot look at, or is putting back, looks to a second one like that of a new phone. */
  #sayWhoKnows(): void {
    const isBlind = this.beside.value && this.device.value === null
    if (isBlind) this.trouble.value ??= seenInFirst
    else if (this.trouble.value === seenInFirst) this.trouble.value = null
  }

  /** What the two places disagree about is put right before anything is added to them. */
  async #begin(): Promise<void> {
    try {
      await this.#keeper.start()
      await this.#look()
      this.#channel.postMessage('changed')
    } catch (error) {
      this.#show(error)
    }
    this.#tryLater()
  }

  /** A journal that could not be read, or a disk that was full, is looked at again without being asked. */
  #tryLater(): void {
    if (this.#again !== null || !this.#keeper.waits) return
    this.#again = setTimeout(
      () => {
        this.#again = null
        this.#turn = this.#turn.then(async () => {
          await this.#lookedAgain().catch((error: unknown) => this.#show(error))
          this.#tryLater()
        })
      },
      this.#keeper.isUnread ? SOON_MS : AGAIN_MS,
    )
  }

  async #lookedAgain(): Promise<void> {
    await this.#keeper.again()
    await this.#look()
    this.#channel.postMessage('changed')
    if (this.trouble.value?.code === fullUnseen.code) this.trouble.value = null
  }

  /** A write failed: what came before it is sure in one place only, until that is mended or told. */
  #mendNext(): void {
    if (this.#keeper.isDoubted) return
    this.#keeper.doubt()
    this.#turn = this.#turn.then(async () => {
      if (!this.writer.value) return
      await this.#keeper.mend().catch(() => undefined) // what could not be mended has been told
      this.#tryLater()
    })
  }

  /** The browser has closed or cleared the storage under us. */
  #lookAgain(): void {
    this.#keeper.closed()
    this.#turn = this.#turn.then(async () => {
      await this.#keeper.leaveWord(this.places.value.phone)
      if (this.writer.value) await this.#begin()
      else await this.#look().catch((error: unknown) => this.#show(error))
      await this.#keeper.reopened()
    })
  }

  /** Asked once at a time: the question may stand on the screen for as long as its user likes. What is answered is shown, and trusted in nothing. */
  #persist(): void {
    this.#asking ??= (this.options.persistence?.persist() ?? Promise.resolve(false))
      .catch(() => false)
      .then((promised) => {
        this.persisted.value = promised
        this.#asking = null
      })
  }

  /** Which count `places` stands for; null while it is counted, or was before something was put right. */
  get #counted(): string | null {
    return this.#looking === 0 ? `${this.#looks} ${this.#keeper.comparisons}` : null
  }

  /** One change at a time, by the writing tab only; resolves when it is done and the signals tell of it. */
  #inTurn<T>(act: () => Promise<T>, stirred: () => Promise<void>): Promise<T> {
    const [, told] = this.#turned(act, stirred)
    return told
  }

  /** The same, twice: once it is done, and once it is told of, too. What the storage refused is shown and thrown. */
  #turned<T>(act: () => Promise<T>, stirred: () => Promise<void>): [done: Promise<T>, told: Promise<T>] {
    const done = this.#turn.then(async () => {
      if (!this.writer.value) throw this.#show(new NotKept(secondTab))
      const value = await act().catch((error: unknown) => {
        this.#tryLater()
        throw this.#show(error)
      })
      this.trouble.value = null
      return value
    })
    const told = done.then((value) => stirred().then(() => value))
    this.#turn = told.catch(() => undefined)
    return [done, told]
  }

  /** Put a failure of the storage on the screen, and return what to throw. */
  #show(error: unknown): unknown {
    const trouble = asTrouble(error)
    if (!trouble) return error
    this.trouble.value = trouble
    return error instanceof NotKept ? error : new NotKept(trouble, error)
  }

  /**
   * Something kept has changed. That it cannot be counted just now does not make it less kept.
   * With much on the phone counting takes longer than keeping: what is known to be the count is handed in.
   */
  async #stirred(places: Counts | null = null): Promise<void> {
    this.#channel.postMessage('changed')
    if (places) batch(() => ([this.places.value, this.changed.value] = [places, this.changed.value + 1]))
    else await this.#look().catch((error: unknown) => this.#show(error))
    if (!this.writer.value) return
    this.#keeper.perch(this.places.value.phone)
    this.#tryLater()
  }

  async #look(): Promise<void> {
    this.#looking += 1
    this.#looks += 1
    try {
      const [device, sealed, places] = await Promise.all([
        readSingle(this.#db, 'device'),
        readSingle(this.#db, 'sealed'),
        this.#reader.counts(),
      ])
      this.device.value = device
      this.sealed.value = sealed
      this.places.value = places
      this.counted.value = true
      this.changed.value += 1
      this.#sayWhoKnows()
    } finally {
      this.#looking -= 1
    }
  }
}
