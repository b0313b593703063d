/**
 * The checker: what a screen has claimed, against what is really there.
 *
 * It reads claims where the screens read them (the store's log, places and notices, sync's status),
 * and the truth from the storage and from the workshop's disk. What the product meant counts nothing.
 */
import { createHash } from 'node:crypto'
import { fold, type JobState } from '@client/procedure/fold'
import type { Machine } from '@client/procedure/machine'
import type { Entry } from '@client/ledger/entry'
import { logEntries } from '@client/work/log'
import type { EntryRow, Held, Intent, PhotoRow, Standing, ValueRow } from '@client/store'
import { readFrames } from '@client/store/frames'
import { filesOf, refsOf } from '@client/store/view'
import { machineFor, type Phone, type SimWindow } from './phone'
import type { HeldEntry, Truth } from './truth'
import type { World } from './world'

interface Claim {
  entry: Entry
  /** The phone's name. */
  phone: string
  photos: string[]
  values: string[]
}

/** What tells that something is gone for good. */
const LOSSES = ['entries-lost', 'phone-wiped', 'key-lost', 'photos-lost']
/** What tells that there is one copy only. */
const ONE_COPY = ['one-copy', 'storage-failing']
/** What tells that one place cannot be looked at: nothing is claimed of what is not shown. */
const UNREAD = 'copy-unread'

const short = (id: string) => id.slice(0, 8)

export class Oracle {
  readonly claims: Map<string, Claim>
  /** Gone from the phone that wrote it: both copies were destroyed. */
  readonly lost: Set<string>
  readonly erased: Set<string>
  /** Devices. */
  readonly revoked: Set<string>
  /** Devices that a phone had been when it was withdrawn: it lets go of what it wrote as any of them. */
  readonly #sealed: Set<string>
  readonly #notKept: Map<string, string>
  /** By the phone's name. */
  readonly #intents: Map<string, Intent>
  readonly #phones = new Map<string, Phone>()
  checks = 0

  constructor(
    private readonly world: World,
    private readonly truth: Truth,
    past?: Oracle,
  ) {
    this.claims = new Map(past?.claims)
    this.lost = new Set(past?.lost)
    this.erased = new Set(past?.erased)
    this.revoked = new Set(past?.revoked)
    // biome-ignore lint/complexity/useOptionalChain: a private name cannot stand in one
    this.#sealed = new Set(past && past.#sealed)
    // biome-ignore lint/complexity/useOptionalChain: a private name cannot stand in one
    this.#notKept = new Map(past && past.#notKept)
    // biome-ignore lint/complexity/useOptionalChain: a private name cannot stand in one
    this.#intents = new Map(past && past.#intents)
  }

  /** Of this phone's storage and bytes is spoken from now on. */
  watch(phone: Phone): void {
    this.#phones.set(phone.name, phone)
    phone.onHarm = () => this.harmed(phone)
    phone.disk.onRemoved = (photo) => {
      if (photo.length === 64) this.removed(phone, photo)
    }
  }

  /** A tick: entries, words and pictures are on this phone now, in both places. */
  shownKept({ phone, store }: SimWindow, entries: Entry[]): void {
    const isSingle = store.notices.value.some(({ code }) => ONE_COPY.includes(code))
    const placesOf = storageOf(phone, this.#isLetGo)
    for (const entry of entries) {
      const claim = {
        entry,
        phone: phone.name,
        photos: filesOf(entry),
        values: refsOf(entry.body).map(({ blob }) => blob),
      }
      this.claims.set(entry.id, claim)
      const [inBase, inJournal] = placesOf(claim)
      this.#check(
        inBase || inJournal,
        `${phone.name} shows ${entry.seq} ${short(entry.id)} as kept, and it is in neither place`,
      )
      this.#check(
        isSingle || (inBase && inJournal),
        `${phone.name} shows ${entry.seq} ${short(entry.id)} as kept, and it is only in ${inBase ? 'the database' : 'the journal'}`,
      )
      const lacking = claim.photos.filter((photo) => !this.#hasPhoto(phone, photo))
      this.#check(
        !lacking.length,
        `${phone.name} shows photo ${lacking.map(short).join()} as kept, and its bytes are not on the disk`,
      )
    }
    this.#areLast(phone, entries)
  }

  /** What was written last is sent last, whichever device of the workshop's this phone has been. */
  #areLast(phone: Phone, entries: Entry[]): void {
    const waits = phone.base
      .rows<EntryRow>('entries')
      .filter(({ waiting, job }) => waiting !== undefined && job !== '')
    waits.sort((one, other) => (one.waiting as number) - (other.waiting as number))
    const here = entries.filter(({ id }) => waits.some((row) => row.id === id)) // the others have gone already
    const last = waits.slice(waits.length - here.length).map(({ id }) => id)
    this.#check(
      here.every(({ id }, i) => last[i] === id),
      `${phone.name} sends ${entries.map(({ seq, id }) => `${seq} ${short(id)}`).join(', ')} before what it wrote earlier`,
    )
  }

  /** The screen says that nothing of the act was kept; or that nobody knows. */
  shownNotKept({ phone }: SimWindow, code: string, ids: string[]): void {
    if (code !== 'kept-midway') for (const id of ids) this.#notKept.set(id, phone.name)
  }

  /** The owner withdraws the phone that is this device now. */
  withdrawn(phone: Phone, device: string): void {
    this.revoked.add(device)
    for (const { entry } of this.#of(phone)) this.#sealed.add(entry.device)
    this.#sealed.add(device)
  }

  intended({ phone }: SimWindow, intent: Intent): void {
    this.#intents.set(phone.name, intent)
  }

  /** One or both places of a phone were harmed: what is in neither any more is gone. */
  harmed(phone: Phone): void {
    const wasTold = phone.harmed.size > 1 || [...ONE_COPY, UNREAD].some((code) => phone.said.has(code))
    const placesOf = storageOf(phone, this.#isLetGo)
    for (const claim of this.#of(phone)) {
      if (placesOf(claim).includes(true)) continue
      // A backup may have the entry without its words: another phone can have brought it there anew, after a restore.
      for (const value of claim.values) phone.damaged.add(value)
      if (this.#isExcused(claim)) continue
      this.lost.add(claim.entry.id)
      this.#check(
        wasTold,
        `${phone.name} had two copies of ${claim.entry.seq} ${short(claim.entry.id)}: one was harmed, and both are gone`,
      )
    }
    if (phone.harmed.has('base')) this.#intents.delete(phone.name)
  }

  /** The app was opened again: all that was shown is there, or its loss is told. */
  async opened(window: SimWindow): Promise<void> {
    const { phone, store } = window
    if (store.notices.value.some(({ code }) => code === UNREAD)) return this.#isNotTold(window)
    const shown = await this.#shown(window)
    const gone = this.#of(phone).filter(({ entry }) => !shown.has(entry.id))
    const unlost = gone.filter((claim) => !this.#isExcused(claim))
    this.#check(
      !unlost.length,
      `${phone.name} has shown ${unlost.map(({ entry }) => `${entry.seq} ${short(entry.id)}`).join(', ')} as kept, and after a start they are not there`,
    )
    const isTold =
      store.notices.value.some(({ code }) => LOSSES.includes(code)) ||
      store.device.value === null ||
      phone.toldOfLoss
    const lost = gone.filter(({ entry }) => this.lost.has(entry.id))
    this.#check(!lost.length || isTold, `${phone.name} has lost ${lost.length} entries, and says nothing`)
    if (lost.length) phone.toldOfLoss = true
    const intent = this.#intents.get(phone.name)
    if (intent) {
      const found = await window.alive(store.intent())
      this.#check(
        JSON.stringify(found) === JSON.stringify(intent),
        `${phone.name} has forgotten what the camera was opened for`,
      )
    }
  }

  /** While one place cannot be read nobody knows what is lost, and nobody may say so. */
  #isNotTold({ phone, store }: SimWindow): void {
    const isTold = store.notices.value.some(
      ({ code }) => ['entries-lost', 'phone-wiped', 'key-lost'].includes(code) && !phone.saidBefore.has(code),
    )
    this.#check(!isTold, `${phone.name} tells of a loss, and cannot have looked`)
  }

  /** Whatever a screen of this window shows at this moment. */
  async look(window: SimWindow): Promise<void> {
    const { phone, store } = window
    const shown = await this.#shown(window)
    this.truth.look()
    // A screen that says that the storage does not answer claims nothing of what it does not show.
    const isUnread = store.notices.value.some(({ code }) => code === UNREAD)
    const missing =
      store.trouble.value || isUnread
        ? []
        : this.#of(phone).filter((claim) => !shown.has(claim.entry.id) && !this.#isExcused(claim))
    this.#check(
      !missing.length,
      `${phone.name} no longer shows ${missing.map(({ entry }) => `${entry.seq} ${short(entry.id)}`).join(', ')}`,
    )
    for (const { entry, place } of shown.values()) {
      if (place === 'phone') continue
      this.#check(
        this.truth.ever.has(entry.id),
        `${phone.name} shows ${short(entry.id)} as in the workshop, and it never was`,
      )
      if (place === 'backup')
        this.#check(
          this.truth.backedUp.has(entry.id),
          `${phone.name} shows ${short(entry.id)} as backed up, and it is in no backup`,
        )
    }
    await this.#lookAtPhotos(window, [...shown.values()])
  }

  /** The bytes of a photo are let go of: only what the workshop and a backup hold may. */
  removed(phone: Phone, photo: string): void {
    const file = phone.disk.photos.get(photo)
    const isWhole = file !== undefined && hashOf(file.bytes) === photo
    if (!isWhole) return
    this.world.tell(phone.name, 'info', `lets go of photo ${short(photo)}`)
    for (const where of ['workshop', 'backup'] as const) {
      const isThere = !this.truth.missing([photo], where).length || this.erased.has(photo)
      this.#check(
        isThere,
        `${phone.name} lets go of photo ${short(photo)}, and the ${where} does not hold it`,
      )
    }
  }

  /** Sync says that everything is in the workshop: so it is, if nothing was put back meanwhile. */
  saidAllIn({ phone }: SimWindow): void {
    this.truth.look()
    const out = this.#of(phone).filter(({ entry }) => !this.lost.has(entry.id) && !this.truth.has(entry.id))
    this.#check(
      !out.length,
      `${phone.name} says that everything is in the workshop, and ${out.map(({ entry }) => `${entry.seq} ${short(entry.id)}`).join(', ')} are not`,
    )
  }

  /** All is healed and has had its time: what these phones, all that were used, have ever claimed is there once and in order. */
  async last(phones: Phone[]): Promise<void> {
    const held = await this.truth.whole()
    this.#once(held)
    const { missing, erased } = this.truth.lacks()
    this.#check(
      !missing.filter((blob) => !erased.includes(blob)).length,
      `the workshop says that it keeps ${missing.map(short).join()}, and its disk does not`,
    )
    const there = new Map(held.map((one, index) => [one.entry.id, { ...one, index }]))
    const claims = phones.flatMap((phone) => this.#of(phone))
    this.#arrived(claims, there)
    for (const [id, who] of this.#notKept)
      this.#check(!there.has(id), `${who} was told that ${short(id)} was not kept, and it is in the workshop`)
    this.#stand(held, phones)
    this.#check(this.#areGone(held, phones), 'what was erased is back')
    const jobs = new Map<string, JobState>()
    for (const phone of phones) if (phone.window) await this.#agree(phone.window, held, jobs)
  }

  /** Erased, or received by the workshop from a phone that it has withdrawn: such a value goes from the phone on purpose. */
  readonly #isLetGo = ({ entry }: Claim, value: string): boolean =>
    this.erased.has(value) || this.#sealed.has(entry.device)

  /** A withdrawn phone does not wait for the backup: what the workshop had, and a restore took, it cannot send again. */
  #isGoneWithARestore({ device }: Entry): boolean {
    return this.#sealed.has(device) && this.truth.restores > 0
  }

  /** It is known to be gone; or a backup has it, and the journal need not. */
  #isExcused(claim: Claim): boolean {
    return (
      this.lost.has(claim.entry.id) ||
      (this.truth.backedUp.has(claim.entry.id) &&
        !storageOf(this.#phone(claim.phone), this.#isLetGo)(claim).includes(true))
    )
  }

  /** What was erased, unless a restore took the word of it and no phone had heard it: then nobody can know. */
  #areGone(held: HeldEntry[], phones: Phone[]): boolean {
    const here = phones.flatMap(({ base }) => base.rows<EntryRow>('entries'))
    const words = [...held.map(({ entry }) => entry.line), ...here.map(({ line }) => line)].filter((line) =>
      line.includes('"blob.erased"'),
    )
    const told = [...this.erased].filter((blob) => words.some((word) => word.includes(blob)))
    return this.truth.missing(told).length === told.length
  }

  #once(held: HeldEntry[]): void {
    const [ids, places] = [new Set<string>(), new Map<string, string>()]
    for (const { entry } of held) {
      this.#check(!ids.has(entry.id), `${short(entry.id)} is in the ledger twice`)
      ids.add(entry.id)
      const place = `${entry.device} ${entry.seq}`
      this.#check(
        !places.has(place),
        `number ${entry.seq} of a device was given twice: ${short(places.get(place) ?? '')} and ${short(entry.id)}`,
      )
      places.set(place, entry.id)
    }
  }

  #arrived(claims: Claim[], there: ReadonlyMap<string, HeldEntry>): void {
    const missing = new Set(
      this.truth.missing(claims.flatMap(({ photos, values }) => [...photos, ...values])),
    )
    for (const { entry, phone, photos, values } of claims) {
      if (this.lost.has(entry.id)) continue
      const name = `${phone}'s ${entry.seq} ${short(entry.id)}`
      const found = there.get(entry.id)
      this.#check(
        found?.entry.line === entry.line,
        `${name} was shown as kept, and at the end it is not in the workshop`,
      )
      const owed = this.#isGoneWithARestore(entry) ? photos : [...photos, ...values]
      const lacking = owed.filter(
        (blob) => missing.has(blob) && !this.erased.has(blob) && !this.#phone(phone).damaged.has(blob),
      )
      this.#check(
        !lacking.length,
        `${name} names ${lacking.map(short).join()}, and the workshop does not hold it`,
      )
    }
  }

  /** Nothing is off about an entry without a reason. */
  #stand(held: HeldEntry[], phones: Phone[]): void {
    const used = new Set(phones.map(({ name }) => name))
    const claims = [...this.claims.values()]
    // A phone that lies in a drawer has not sent all it holds.
    const excused = new Set(
      claims
        .filter(({ entry, phone }) => this.lost.has(entry.id) || !used.has(phone))
        .map(({ entry }) => entry.device),
    )
    const byId = new Map(held.map((one) => [one.entry.id, one]))
    for (const { entry, standing } of held) {
      if (standing === 'good') continue
      const follows = entry.after.some((id) => !byId.has(id))
      const isExcused =
        (standing === 'gap' && (excused.has(entry.device) || follows)) ||
        (standing === 'doubted' && this.revoked.has(entry.device))
      this.#check(
        isExcused,
        `${short(entry.id)} (${entry.kind}, ${entry.seq}) stands as ${standing}, and nothing was wrong with it`,
      )
    }
  }

  /** The same steps are done on every screen, and by the workshop's own log. */
  async #agree(window: SimWindow, held: HeldEntry[], jobs: Map<string, JobState>): Promise<void> {
    const { phone, store } = window
    const device = store.device.value
    if (!device || this.revoked.has(device.id)) return
    for (const { job, bundle } of await window.alive(store.jobs())) {
      const procedure = await window.alive(store.bundle(bundle))
      if (!procedure) continue
      // What the workshop holds back, a phone may have from before, or of its own.
      const here = new Set((await window.alive(store.log(job))).map(({ entry }) => entry.id))
      const isSame = held.every((one) => one.entry.job !== job || !one.held)
      const theirs =
        (isSame ? jobs.get(job) : undefined) ??
        stateOf(
          job,
          held.filter((one) => !one.held || here.has(one.entry.id)),
          machineFor(bundle, procedure),
        )
      if (isSame) jobs.set(job, theirs)
      const ours = (await window.job(job, bundle)).state
      this.#check(
        JSON.stringify([theirs.steps, theirs.conditions]) === JSON.stringify([ours?.steps, ours?.conditions]),
        `${phone.name} shows job ${short(job)} otherwise than the workshop's log: ${ours?.steps.join()} for ${theirs.steps.join()}`,
      )
    }
  }

  async #shown(window: SimWindow): Promise<Map<string, Held>> {
    const jobs = new Set(this.#of(window.phone).flatMap(({ entry }) => entry.job ?? []))
    for (const { job } of await window.alive(window.store.jobs())) jobs.add(job)
    const shown = new Map<string, Held>()
    for (const job of jobs)
      for (const held of await window.alive(window.store.log(job))) shown.set(held.entry.id, held)
    return shown
  }

  async #lookAtPhotos(window: SimWindow, shown: Held[]): Promise<void> {
    for (const photo of shown.flatMap(({ entry }) => filesOf(entry))) {
      const place = await window.alive(window.store.photoPlace(photo))
      if (place !== 'workshop' && place !== 'backup') continue
      if (this.truth.restores || this.erased.has(photo)) continue
      this.#check(
        !this.truth.missing([photo]).length,
        `${window.phone.name} shows photo ${short(photo)} as in the workshop, and it is not`,
      )
    }
  }

  #hasPhoto(phone: Phone, photo: string): boolean {
    const file = phone.disk.photos.get(photo)
    if (file) return hashOf(file.flushed) === photo
    // Where there is no second place, they are in the first.
    if (phone.base.rows<ArrayBuffer>('bytes').some((bytes) => hashOf(new Uint8Array(bytes)) === photo))
      return true
    return phone.base.rows<PhotoRow>('photos').some(({ blob, freed }) => blob === photo && freed === 1)
  }

  #of({ name }: Phone): Claim[] {
    return [...this.claims.values()].filter(({ phone }) => phone === name)
  }

  #phone(name: string): Phone {
    return this.#phones.get(name) as Phone
  }

  #check(isSo: boolean, otherwise: string): void {
    this.checks += 1
    if (!isSo) this.world.wrong('checker', otherwise)
  }
}

/** Whether something claimed is surely in the phone's database, and surely in its journal. */
function storageOf(
  { base, disk }: Phone,
  isLetGo: (claim: Claim, value: string) => boolean,
): (claim: Claim) => [boolean, boolean] {
  const lines = new Set(base.rows<EntryRow>('entries').map(({ line }) => line))
  const words = new Set(base.rows<ValueRow>('values').map(({ blob }) => blob))
  const acts = disk.journals.flatMap((journal) => readFrames(journal.flushed).texts)
  return (claim) => {
    const { entry, values } = claim
    const hasAll = values.every((blob) => words.has(blob) || isLetGo(claim, blob))
    return [lines.has(entry.line) && !base.isTorn && hasAll, acts.some((act) => act.includes(entry.line))]
  }
}

/** How a job stands by the workshop's own log. */
function stateOf(job: string, held: HeldEntry[], machine: Machine): JobState {
  const log = held.filter(({ entry }) => entry.job === job)
  const own = log.map(
    ({ entry, standing }) =>
      ({ entry, standing: standing as Standing, place: 'workshop', index: 0, mine: false }) satisfies Held,
  )
  return fold(machine, logEntries(own))
}

const hashOf = (bytes: Uint8Array) => createHash('sha256').update(bytes).digest('hex')
