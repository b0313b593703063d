/**
 * One round of sync: pull the ledger, send what waits, bring procedures and words, check the
 * workshop's history. What goes wrong ends the round; everything done by then is kept.
 */
import type { PhoneStore } from '../store'
import { LedgerForked } from '../store'
import type { Api } from './api'
import { Bundles } from './bundles'
import { Erasures } from './erasures'
import { forked, Offline, Refused, rewound, sealingOf, Untrue } from './errors'
import { lineKind, PHOTOS_WAIT } from './mobile'
import { Photos } from './photos'
import { Ledger, Rewound } from './pull'
import { Push } from './push'
import { Receipts } from './receipt'
import { Session } from './session'
import type { Progress } from './types'
import { Values } from './values'
import { Witness } from './witness'

/** The job at hand, and those beside it in a list. */
const SHOWN = 4

export class Round {
  readonly session: Session
  readonly ledger: Ledger
  readonly values: Values
  readonly #push: Push
  readonly #photos: Photos
  readonly #bundles: Bundles
  readonly #witness: Witness
  readonly #erasures: Erasures
  readonly #receipts: Receipts
  /** Jobs that screens had brought last: a round looks whether more has come to them. */
  #shown: readonly string[] = []
  #learning: Promise<void> = Promise.resolve()
  /** What was refused before is tried once more each time the app is started: it may be a newer one. */
  #triedRefused = false
  #triedRefusedPhotos = false

  constructor(
    api: Api,
    private readonly store: PhoneStore,
    now: () => Date,
  ) {
    this.session = new Session(api, store)
    this.ledger = new Ledger(api, store)
    this.values = new Values(api, store)
    this.#push = new Push(api, store, this.ledger, now)
    this.#photos = new Photos(api, store, this.ledger)
    this.#bundles = new Bundles(api, store, this.ledger)
    this.#witness = new Witness(api, store)
    this.#erasures = new Erasures(store, this.ledger)
    this.#receipts = new Receipts(api, store, this.ledger)
  }

  async run(progress: Progress, isAgain = false): Promise<void> {
    // Whoever is refused may be let in anew while what it wrote is still being sent.
    const of = this.store.device.value?.id
    try {
      await this.#once(progress, of)
    } catch (error) {
      const sealing = sealingOf(error)
      if (sealing) await this.store.enrolment.seal(sealing.how, of) // of what was sent just now nothing stays, either
      if (error instanceof LedgerForked) throw new Untrue(forked)
      if (!(error instanceof Rewound)) throw error
      await this.offerAgain()
      // Put back again while it was told all anew: the next round tells it once more.
      if (isAgain) throw new Offline('the workshop was put back twice')
      await this.run(progress, true)
    }
  }

  async #once(progress: Progress, of: string | undefined): Promise<void> {
    const revocation = await this.#pullOrRevoked(progress)
    if (revocation) {
      await this.store.enrolment.seal('revoked', of)
      await this.session.with(() => this.#push.ask())
    } else await this.#erasures.follow()
    await this.#send(progress)
    if (revocation) throw revocation
    // Only looked at: what waits has gone before, whatever is wrong with one of them.
    if (this.#shown.length) await this.session.with(() => this.ledger.bring(this.#shown))
    await this.session.with(() => this.ledger.pullAgain(progress.read))
    await this.#erasures.follow() // that may have brought more of it
    await this.session.with(() => this.#witness.check())
    await this.session.with(() => this.#bundles.pull())
    await this.session.with(() => this.values.pull())
    await this.#learnNames()
    await this.#receipts.renew()
  }

  /** A revoked phone reads nothing more, but what was written on it is still sent; not so when it is shut out. */
  async #pullOrRevoked(progress: Progress): Promise<Refused | null> {
    try {
      await this.session.with(() => this.ledger.pull(progress.read))
      await this.session.with(() => this.ledger.fillGaps())
      return null
    } catch (error) {
      if (error instanceof Refused && error.trouble.code === 'device-revoked') return error
      throw error
    }
  }

  async #send(progress: Progress): Promise<void> {
    const withRefused = !this.#triedRefused
    const photosWait = await this.#photosWait()
    const [entries, photos] = await Promise.all([
      this.store.ledger.waiting(withRefused),
      photosWait ? [] : this.store.photos.waiting(!this.#triedRefusedPhotos),
    ])
    progress.total(
      entries.length + photos.length,
      photos.reduce((sum, { size }) => sum + size, 0),
    )
    await this.#receipts.bringBack(entries)
    await this.session.with(() => this.#push.push(withRefused, progress))
    this.#triedRefused = true
    if (photosWait) return
    await this.session.with(() => this.#photos.push(!this.#triedRefusedPhotos, progress))
    this.#triedRefusedPhotos = true
  }

  /** By choice, over a line that is paid by the byte; a phone that is withdrawn can choose no more, and gives all it has. */
  async #photosWait(): Promise<boolean> {
    if (this.store.sealed.value !== null) return false
    return lineKind() === 'cellular' && (await this.store.setting(PHOTOS_WAIT)) === 'yes'
  }

  /** The workshop was put back: all that is here is told it once more. */
  async offerAgain(): Promise<void> {
    await this.store.alarm.keep(rewound)
    await this.ledger.alone(async () => {
      await this.store.ledger.offerAgain()
      this.ledger.forget()
    })
  }

  /** The jobs that a screen shows, as the workshop has them now. */
  async bring(jobs: readonly string[]): Promise<void> {
    this.#shown = [...jobs, ...this.#shown.filter((job) => !jobs.includes(job))].slice(0, SHOWN)
    try {
      await this.session.with(() => this.ledger.bring(jobs))
    } catch (error) {
      if (error instanceof LedgerForked) throw new Untrue(forked)
      if (error instanceof Rewound) throw new Offline('the workshop was put back')
      throw error
    }
  }

  /**
   * The workshop's key and name, and the person's name, as the ledger says them now. One after the other: a round that
   * began to learn before somebody else was chosen must not put back who worked until then.
   */
  #learnNames(person?: string): Promise<void> {
    const learnt = this.#learning.then(() => this.#learnNamesOf(person))
    this.#learning = learnt.catch(() => undefined)
    return learnt
  }

  async #learnNamesOf(chosen?: string): Promise<void> {
    const device = this.store.device.value
    if (!device) return
    const { workshopKey, workshopName } = await this.ledger.roster()
    const persons = await this.persons()
    const person = chosen ?? device.person
    // Who is admitted no more writes nothing more here.
    const works = persons.includes(person) ? person : (persons[0] ?? person)
    const known = {
      person: works,
      workshopKey: workshopKey ?? device.workshopKey,
      workshopName: workshopName || device.workshopName,
      personName: (await this.values.nameOf(works)) || (works === device.person ? device.personName : ''),
    }
    const isNew = (['person', 'workshopKey', 'workshopName', 'personName'] as const).some(
      (name) => known[name] !== device[name],
    )
    if (isNew) await this.store.enrolment.learn(device.id, known)
  }

  /** For whom this phone may write now: its own person first. */
  async persons(): Promise<string[]> {
    const device = this.store.device.value
    return device ? (await this.ledger.roster()).personsOn(device.id, Number.MAX_SAFE_INTEGER) : []
  }

  async workAs(person: string): Promise<void> {
    if ((await this.persons()).includes(person)) await this.#learnNames(person)
  }
}
