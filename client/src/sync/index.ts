/** Sync's door, and its clock: when to try, what to say, when to try again. */
import { signal, type Signal } from '@preact/signals'
import type { Ref } from '../ledger/bodies'
import { LedgerError } from '../ledger/errors'
import { blobId } from '../ledger/private'
import type { PhoneStore, Trouble } from '../store'
import { asTrouble, NotKept, secondTab } from '../store'
import { Api, type Asked, type Fetch } from './api'
import { askToBeWoken } from './background'
import { Offline, Refused, sealingOf, Untrue } from './errors'
import type { Invitation } from './invitation'
import { OtherWindows } from './other-windows'
import { asPicture, pictureHere, smallHere } from './pictures-here'
import { Round } from './round'
import type { Progress, Answer, Shown, Sync, SyncStatus } from './types'
import { megabytes } from './sizes'
import * as says from '../words/en/sync/index'
import { t } from '../words/message'

export { megabytes } from './sizes'
export type { Invitation } from './invitation'
export type { Answer, Shown, Sync, SyncState, SyncStatus } from './types'

const IDLE_MS = 60_000
const FIRST_RETRY_MS = 2_000
const LAST_RETRY_MS = 5 * 60_000
/** Entries of one act follow each other closely: they go in one batch. */
const GATHER_MS = 300

export interface Around {
  fetch: Fetch
  now: () => Date
  /** 0 up to 1. */
  chance: () => number
  /** Where windows of this browser hear each other; none where there is but one. */
  windows?: BroadcastChannel
}

export class PhoneSync implements Sync {
  readonly status: Signal<SyncStatus>
  readonly alarm: Signal<Trouble | null>
  readonly #api: Api
  readonly #round: Round
  #running: Promise<void> | null = null
  #timer: ReturnType<typeof setTimeout> | undefined
  /** In a row, and nothing got through between them. */
  #failures = 0
  /** Signed out, and the workshop has heard it. */
  #isEnded = false
  /** Something was written since the round began: it may have missed it. */
  #moreCame = false
  readonly #others: OtherWindows | null

  constructor(
    private readonly store: PhoneStore,
    private readonly around: Around,
    /** Where it is shown; screens may have it before this is here. */
    shown: Pick<PhoneSync, 'status' | 'alarm'> = {
      status: signal<SyncStatus>({ state: 'idle', words: '', sent: 0, total: 0, bytes: 0 }),
      alarm: signal<Trouble | null>(null),
    },
  ) {
    this.status = shown.status
    this.alarm = shown.alarm
    this.#others =
      around.windows === undefined
        ? null
        : new OtherWindows(around.windows, () => (store.writer.value ? this : null))
    this.#api = new Api(around.fetch, () => headSeen(store))
    this.#round = new Round(this.#api, store, around.now)
  }

  /** Try at every sign that it may work, and by the clock: signs alone are not to be trusted. */
  start(): void {
    addEventListener('online', () => void this.now())
    document.addEventListener('visibilitychange', () => {
      if (document.visibilityState === 'visible') void this.now()
    })
    let waiting = 0
    this.store.places.subscribe((places) => {
      const waits = places.phone + places.photosWaiting
      if (waits > waiting) {
        this.#moreCame = true
        if (!this.#running) this.#again(GATHER_MS)
      }
      waiting = waits
    })
    // At once, or when the window before this one has let go: what it began is gone on with here.
    this.store.writer.subscribe((isWriter) => {
      if (isWriter) void this.now()
    })
  }

  now(): Promise<void> {
    this.#running ??= this.#run().finally(() => {
      this.#running = null
    })
    return this.#running
  }

  async enrol(invitation: Invitation): Promise<Answer<null>> {
    const { Enrolment } = await import('./enrol') // once in a phone's life
    const joining = new Enrolment(this.#api, this.store, this.#round, this.around.now)
    const answer = await answered(() => joining.join(invitation))
    if (!answer.ok) return answer
    this.#isEnded = false
    this.#round.ledger.forget()
    await answered(() => this.#round.session.open()) // it will be asked for anyhow; no answer yet is no harm
    void this.now()
    return { ok: true, value: null }
  }

  async signOut(): Promise<void> {
    await this.store.signOut()
    await this.#running?.catch(() => undefined) // one that began before ends no session
    await this.now()
  }

  async value(ref: Ref): Promise<string | null> {
    const held = await this.store.secretValue(ref)
    if (held !== null) return held
    if (this.#others && !this.store.writer.value) return this.#others.value(ref)
    await answered(() => this.#round.session.with(() => this.#round.values.bring(ref.blob)))
    return this.store.secretValue(ref)
  }

  async picture(sha: string, width?: number): Promise<Shown> {
    const held = await pictureHere(this.store, sha)
    if (held) return held
    const path = width === undefined ? `/api/blobs/${sha}` : `/api/blobs/${sha}?width=${width}`
    const got = await answered(() => this.#round.session.with(() => this.#api.bytes(path)))
    if (!got.ok) return this.#without(sha, width, got.trouble)
    const { bytes } = got.value
    // A copy has no hash that was signed: it is the workshop's word alone.
    if (width === undefined && (await blobId(new Uint8Array(bytes))) !== sha) return { at: 'damaged' }
    return asPicture(bytes)
  }

  /** The small picture that this phone kept when it let go of the bytes, or why there is none. */
  async #without(sha: string, width: number | undefined, { code }: Trouble): Promise<Shown> {
    const small = await smallHere(this.store, sha, width)
    if (small) return small
    if (code === 'blob-damaged') return { at: 'damaged' }
    if (code === 'no-copy') return { at: 'no-picture' }
    if (code === 'not-found' || code === 'blob-erased') return { at: 'not-there' }
    return { at: code === noLine.code ? 'no-line' : 'refused' }
  }

  bringJobs(jobs: readonly string[]): Promise<Answer<null>> {
    if (this.#others && !this.store.writer.value) return this.#others.bringJobs(jobs)
    return answered(async () => {
      if (!this.store.writer.value) throw new NotKept(secondTab)
      try {
        await this.#round.bring(jobs)
      } catch (error) {
        if (error instanceof Untrue) await this.#raise(error.trouble)
        else void this.now() // a round does what follows: the workshop was put back, this device is withdrawn
        throw error
      }
      return null
    })
  }

  ask<T>(path: string, question?: unknown): Promise<Answer<T>> {
    return this.send<T>(path, askedWith(question))
  }

  send<T>(path: string, asked: Asked): Promise<Answer<T>> {
    return answered(() => this.#round.session.with(() => this.#api.json<T>(path, asked)))
  }

  askBytes(path: string, question?: unknown): Promise<Answer<File>> {
    return answered(async () => {
      const { bytes, type, name } = await this.#round.session.with(() =>
        this.#api.bytes(path, askedWith(question)),
      )
      return new File([bytes], name, { type })
    })
  }

  persons(): Promise<string[]> {
    return this.#round.persons()
  }

  workAs(person: string): Promise<void> {
    return this.#round.workAs(person)
  }

  async dismiss(): Promise<void> {
    this.alarm.value = await this.store.alarm.dismiss(this.alarm.value)
  }

  async #run(): Promise<void> {
    if (!this.store.device.value || !this.store.writer.value) return
    clearTimeout(this.#timer)
    this.#moreCame = false
    if (this.store.sealed.value === 'signed-out') return this.#endSession()
    try {
      await this.#round.run(this.#progress())
      this.#failures = 0
      this.#say('idle', this.#restWords())
    } catch (error) {
      this.#failures += 1
      await this.#tell(error)
    } finally {
      // One that the storage would not keep stands, too, until somebody has dealt with it.
      this.alarm.value = (await this.store.alarm.read().catch(() => null)) ?? this.alarm.value
      this.#again(this.#failures ? this.#retryMs() : this.#moreCame ? GATHER_MS : IDLE_MS)
    }
  }

  /** Nothing is read or sent by a phone that was signed out; its cookie may be good for some hours yet. */
  async #endSession(): Promise<void> {
    if (this.#isEnded) return
    const ended = await answered(() => this.#round.session.end())
    this.#isEnded = ended.ok
    if (!ended.ok) this.#again(LAST_RETRY_MS)
  }

  /** Half of it fixed, half by chance: phones that lost one line do not all come back at once. */
  #retryMs(): number {
    const full = Math.min(FIRST_RETRY_MS * 2 ** (this.#failures - 1), LAST_RETRY_MS)
    return full / 2 + (full / 2) * this.around.chance()
  }

  #again(afterMs: number): void {
    clearTimeout(this.#timer)
    this.#timer = setTimeout(() => void this.now(), afterMs)
  }

  #progress(): Progress {
    const count = { sent: 0, total: 0, bytes: 0 }
    let what = ''
    const show = () => {
      if (count.total) this.status.value = { state: 'sending', words: sendingWords(what, count), ...count }
    }
    // A line that comes and goes never lets a long round end: what counts is that it carried something.
    const gotOn = () => {
      this.#failures = 0
    }
    return {
      gotOn,
      read: (records, all) => {
        gotOn()
        this.status.value = {
          ...this.status.value,
          words: t(says.reading, { records, all }),
        }
      },
      total: (items, bytes) => {
        Object.assign(count, { sent: 0, total: items, bytes })
        show()
      },
      now: (words) => {
        what = words
        show()
      },
      sent: (items) => {
        count.sent += items
        if (items) gotOn()
        show()
      },
      bytes: (sent) => {
        count.bytes = Math.max(0, count.bytes - sent)
        show()
      },
    }
  }

  async #tell(error: unknown): Promise<void> {
    if (error instanceof Offline) {
      if (this.store.places.value.phone) void askToBeWoken()
      return this.#say('offline', t(says.noLine, { rest: this.#restWords() }))
    }
    const trouble = troubleOf(error)
    if (!trouble) {
      this.#say('stopped', t(says.stopped))
      throw error // a fault of ours: let it be seen
    }
    if (error instanceof Untrue) await this.#raise(trouble)
    // The storage's own words are of an act, and nobody has done one.
    if (trouble.code === 'storage-silent') return this.#say('stopped', t(says.storageSilent))
    this.#say('stopped', `${trouble.message} ${trouble.hint}`)
  }

  async #raise(trouble: Trouble): Promise<void> {
    this.alarm.value = trouble
    await this.store.alarm.keep(trouble).catch(() => undefined) // what is wrong with the storage is told elsewhere
  }

  #say(state: SyncStatus['state'], words: string): void {
    const { photosWaiting, bytesWaiting, phone } = this.store.places.value
    this.status.value = { state, words, sent: 0, total: phone + photosWaiting, bytes: bytesWaiting }
  }

  #restWords(): string {
    const { phone, photosWaiting, refused } = this.store.places.value
    if (phone + photosWaiting === 0) return t(says.allSent)
    if (refused > 0) return t(says.entriesRefused, { n: refused })
    if (photosWaiting === 0) return t(says.entriesHere, { entries: phone })
    if (phone === 0) return t(says.photosHere, { photos: photosWaiting })
    return t(says.entriesAndPhotosHere, { entries: phone, photos: photosWaiting })
  }
}

/** A question goes in the body of a POST. */
const askedWith = (question: unknown): Asked =>
  question === undefined ? {} : { method: 'POST', json: question }

function sendingWords(
  what: string,
  { sent, total, bytes }: { sent: number; total: number; bytes: number },
): string {
  const gone = t(says.sentOf, {
    sent,
    total,
    hasPhotos: bytes > 0,
    bytes: megabytes(bytes),
  })
  return what ? t(says.sending, { what, gone }) : gone
}

/** What to tell of a failure that is nobody's mistake in the program; null when it is one. */
function troubleOf(error: unknown): Trouble | null {
  if (error instanceof Refused) return sealingOf(error)?.trouble ?? error.trouble
  if (error instanceof Untrue) return error.trouble
  if (error instanceof LedgerError) return { code: error.code, message: error.message, hint: error.hint }
  return asTrouble(error)
}

const noLine: Trouble = {
  code: 'offline',
  message: t(says.offline),
  hint: t(says.offlineHint),
}

async function answered<T>(act: () => Promise<T>): Promise<Answer<T>> {
  try {
    return { ok: true, value: await act() }
  } catch (error) {
    const trouble = error instanceof Offline ? noLine : troubleOf(error)
    if (!trouble) throw error
    return { ok: false, trouble }
  }
}

/** As it is at this moment: a workshop that is put back in the middle of a round is found out by the next answer. */
async function headSeen({ ledger }: PhoneStore): Promise<string | null> {
  const { size, root } = await ledger.seen()
  return size > 0 ? `${size} ${root}` : null
}

/** Start syncing what the store keeps. */
export function startSync(
  store: PhoneStore,
  around: Partial<Around> = {},
  shown?: Pick<PhoneSync, 'status' | 'alarm'>,
): PhoneSync {
  const whole: Around = {
    fetch: (address, init) => fetch(address, init),
    now: () => new Date(),
    chance: Math.random,
    windows: new BroadcastChannel('two-turns windows'),
    ...around,
  }
  const sync = new PhoneSync(store, whole, shown)
  sync.start()
  return sync
}
