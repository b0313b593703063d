/**
 * A phone that has been away for a year comes back to a line that is hardly one: 2 kB/s each way, 5 s
 * there and 5 s back, up for two minutes on the average and down for half a one. All it has goes in.
 */
import type { EntryRow, PhotoRow, ValueRow } from '@client/store'
import type { Oracle } from './oracle'
import { People } from './people'
import type { Phone, SimWindow } from './phone'
import { PoorLine, type Poor } from './poor'
import type { Truth } from './truth'
import { DAY_MS, type World } from './world'

export interface Away {
  jobs: number
  photos: number
}

const HARDLY_A_LINE: Poor = { bytesASecond: 2_000, latencyMs: 5_000, upMs: 120_000, downMs: 30_000 }
/** Once a day the battery goes, whatever the phone was at. */
const BATTERY_MS = 22 * 3_600_000
const LOOK_MS = 60_000
const LONGEST_MS = 60 * DAY_MS
/** By then the bytes of what is backed up may go. */
const KEPT_MS = 31 * DAY_MS
/** What others did meanwhile, for each job of this phone's. */
const JOBS_OF_OTHERS = 1
const ALL_IN = 'Everything is in the workshop.'

export class YearAway {
  readonly figures: Record<string, number> = {}
  readonly words: string[] = []
  readonly #people: People
  readonly #removed: string[] = []

  constructor(
    private readonly world: World,
    private readonly truth: Truth,
    private readonly oracle: Oracle,
    private readonly away: Away,
    private readonly join: (name: string) => Promise<Phone>,
  ) {
    this.#people = new People(world, oracle, () => world.chance.whole(150_000, 400_000))
  }

  async all(): Promise<void> {
    const [phone, other] = [await this.join('away'), await this.join('other')]
    phone.kill(false)
    other.kill(false)
    await this.#year(phone, other)
    const line = new PoorLine(this.world, HARDLY_A_LINE)
    phone.line.poor = line
    const since = this.world.nowMs
    await this.#comeBack(phone)
    this.#count(phone, line, this.world.nowMs - since)
    await this.#reckon(phone, other)
  }

  async #year(phone: Phone, other: Phone): Promise<void> {
    const { jobs, photos } = this.away
    const { chance } = this.world
    const pause = (365 * DAY_MS) / jobs
    for (let n = 0; n < jobs; n++) {
      await this.world.sleep(chance.whole(pause / 2, (pause * 3) / 2))
      phone.line.weather = 'down'
      const window = await this.#open(phone)
      // One of them the procedure asks for itself.
      await this.#people.wholeJob(
        window,
        Math.floor(((n + 1) * photos) / jobs) - Math.floor((n * photos) / jobs) - 1,
      )
      phone.kill(false)
      for (let more = 0; more < JOBS_OF_OTHERS; more++) await this.#othersWork(other)
      if (n % 3 === 0) this.truth.backUp()
    }
  }

  /** A job that is left open: what this phone will be told of it is also its words. */
  async #othersWork(other: Phone): Promise<void> {
    const window = await this.#open(other)
    await this.#people.openJob(window)
    for (let n = 0; n < 12; n++) await this.#people.noteOnAny(window)
    await window.alive(window.sync.now())
    other.kill(false)
  }

  async #open(phone: Phone): Promise<SimWindow> {
    const window = await phone.start()
    await this.oracle.opened(window)
    return window
  }

  async #comeBack(phone: Phone): Promise<void> {
    const until = this.world.nowMs + LONGEST_MS
    const says = () => phone.window?.sync.status.value.words
    while (says() !== ALL_IN && this.world.nowMs < until) {
      phone.kill(true)
      this.#listen(await this.#open(phone))
      const battery = this.world.nowMs + BATTERY_MS
      while (says() !== ALL_IN && this.world.nowMs < battery) await this.world.sleep(LOOK_MS)
    }
    if (says() !== ALL_IN)
      this.world.wrong('checker', `away does not come to rest in ${LONGEST_MS / DAY_MS} days: ${says()}`)
  }

  #listen({ sync, phone }: SimWindow): void {
    phone.disk.onRemoved = (photo) => {
      if (photo.length !== 64) return
      this.#removed.push(photo)
      this.oracle.removed(phone, photo)
    }
    sync.status.subscribe(({ words }) => {
      if (words && words !== this.words.at(-1)) this.words.push(words)
    })
  }

  #count(phone: Phone, line: PoorLine, tookMs: number): void {
    const { base } = phone
    const own = base.rows<EntryRow>('entries').filter(({ mine }) => mine === 1)
    const photos = base.rows<PhotoRow>('photos')
    const sizeOf = (texts: string[]) => texts.reduce((sum, text) => sum + text.length, 0)
    const must =
      sizeOf(own.map(({ line: text }) => text)) +
      sizeOf(base.rows<ValueRow>('values').map(({ text }) => text)) +
      photos.reduce((sum, { size }) => sum + size, 0)
    Object.assign(this.figures, {
      days: tookMs / DAY_MS,
      entries: own.length,
      photos: photos.length,
      'records of others': base.rows<EntryRow>('entries').length - own.length,
      'bytes that must be sent': must,
      'bytes sent': line.sent.bytes,
      'bytes heard': line.heard.bytes,
      'sent over must': line.sent.bytes / must,
      'days over the least': tookMs / ((must * 1000) / HARDLY_A_LINE.bytesASecond / 0.8),
      requests: line.requests,
      'times the line went down': line.broken,
    })
    const waiting =
      own.filter((row) => row.waiting !== undefined || row.index === undefined).length +
      photos.filter((row) => row.waiting !== undefined || row.kept === undefined).length
    if (waiting) this.world.wrong('checker', `${waiting} of what was sent has no receipt`)
    if (this.#removed.length)
      this.world.wrong('checker', `${this.#removed.length} photos were let go of before they were backed up`)
  }

  /** All is there once and whole; only then, and after a backup, may the phone let go of it. */
  async #reckon(phone: Phone, other: Phone): Promise<void> {
    phone.line.poor = null
    phone.line.weather = 'clear'
    this.truth.backUp()
    const others = await this.#open(other)
    await others.alive(others.sync.now())
    const [window] = phone.windows
    if (window) await window.alive(window.sync.now())
    await this.oracle.last([phone, other])
    if (window) this.oracle.saidAllIn(window)
    await this.world.sleep(KEPT_MS)
    phone.kill(false)
    await this.#open(phone)
    this.figures['photos let go of when backed up'] = this.#removed.length
  }
}
