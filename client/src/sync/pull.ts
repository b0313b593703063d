/**
 * Pulling the workshop's ledger: every record's signature is checked before it is kept, and a
 * page counts only under a checkpoint that the workshop's key signed and that covers it.
 */
import type { PageAnswer, RecordAnswer } from '../ledger/answers'
import { encodePadded } from '../ledger/base64url'
import { EDITION } from '../ledger/bodies'
import { openCheckpoint, type Checkpoint } from '../ledger/checkpoint'
import { verifyEntry, type Entry } from '../ledger/entry'
import { parseRecord } from '../ledger/record'
import { noBackups, type Backups, type KeptBlob, type Page, type PhoneStore, type Seen } from '../store'
import type { Api } from './api'
import { forked, keyRecovered, notOurs, Refused, unproven, Untrue } from './errors'
import { Portion } from './line'
import { isProven, type Proven } from './proof'
import { Roster, ROSTER_KINDS, type Succession } from './roster'
import { askChain, isOfThisLedger, leading, leadsOn, linksOf, newRecoveries, type Told } from './succession'
import * as words from '../words/en/sync/pull'
import { t } from '../words/message'

const LOG_MEMBERS = ['records', 'next', 'more', 'standings', 'checkpoint']

/**
 * Of a record some 900 bytes: small at first, for a page that breaks off has to come anew, as its proof
 * leads to the head of that moment. A page may hold no more than the contract says.
 */
const FIRST_RECORDS = 100
const FEWEST_RECORDS = 10
const MOST_RECORDS = 500

/** The workshop's tree never had the head this phone has seen. */
export class Rewound extends Error {}

export class Ledger {
  #roster: Promise<Roster> | null = null
  /** A page spoke of erasing, and nobody has acted on it yet. */
  toldOfErasing = false
  readonly #filled = new Set<string>()
  /** Where the log of a job goes on that was asked for in this run of the app. */
  readonly #broughtTo = new Map<string, number>()
  #turn: Promise<unknown> = Promise.resolve()
  readonly #records = new Portion(FEWEST_RECORDS, MOST_RECORDS, FIRST_RECORDS)

  constructor(
    private readonly api: Api,
    private readonly store: PhoneStore,
  ) {}

  /**
   * Ask and take in with nothing else between: a screen has a job brought while a round is on its way, and what an
   * answer says of how far this phone has seen is worked out from what it had seen before.
   */
  alone<T>(act: () => Promise<T>): Promise<T> {
    const done = this.#turn.then(act)
    this.#turn = done.catch(() => undefined)
    return done
  }

  /** Everything this phone is told unasked that it has not been told yet. `onPage` hears how far it is when more comes. */
  async pull(onPage?: (next: number, size: number) => void): Promise<void> {
    // Pages that broke off last time told of jobs as open that may have ended since: their end is told, too.
    const { cursor: told } = await this.store.ledger.seen()
    for (let more = true; more; ) {
      const answer = await this.alone(() => this.#pullPage(told))
      more = answer.more
      if (more) onPage?.(answer.next, (await this.store.ledger.seen()).size)
    }
    while (await this.alone(() => this.#pullPageOfEnds()));
  }

  async #pullPage(told: number): Promise<PageAnswer> {
    const { cursor, began = null } = await this.store.ledger.seen()
    const answer = await this.#ask(`/api/log?since=${cursor}${this.#atDesk(told)}`)
    if (cursor === 0) await this.#beginAnew(answer)
    const since = began ?? (answer.more ? (await this.open(answer.checkpoint)).size : null)
    await this.#take(answer, { cursor: answer.next, began: since === answer.next ? null : since })
    if (!answer.more) await this.store.blobs.sendAgain(answer.wanted ?? [])
    return answer
  }

  /** What ended, while pages came, jobs that a page before had told a desk of as open. */
  async #pullPageOfEnds(): Promise<boolean> {
    const { cursor, began } = await this.store.ledger.seen()
    if (!began || cursor <= began || this.#device().role === 'mechanic') return false
    const answer = await this.#ask(`/api/log?since=${began}${this.#atDesk(cursor)}`)
    const more = answer.next < cursor
    await this.#take(answer, { began: more ? answer.next : null })
    return more
  }

  /**
   * Once after the app has become newer: what it could not read it was not given. What waits has
   * been sent by then, for on a poor line this takes long; it goes on where it broke off.
   */
  async pullAgain(onPage: (next: number, size: number) => void): Promise<void> {
    let again = await this.alone(() => this.store.ledger.again(EDITION))
    if (again === null) return
    while (again !== null) {
      const from: number = again
      again = await this.alone(() => this.#pullPageAgain(from))
      if (again !== null) onPage(again, (await this.store.ledger.seen()).size)
    }
    this.forget() // statements that came in late have their turn at their own place
  }

  async #pullPageAgain(from: number): Promise<number | null> {
    const answer = await this.#ask(`/api/log?since=${from}${this.#atDesk(0)}`)
    const { cursor } = await this.store.ledger.seen()
    const again = answer.next < cursor ? answer.next : null
    await this.#take(answer, { again })
    return again
  }

  /**
   * A job may come into this phone's sight after the log has passed its first entries: each one
   * with a gap is asked for as a whole, once in a run of the app for each gap.
   */
  async fillGaps(): Promise<void> {
    for (const { job, missing } of await this.store.ledger.gaps()) {
      const gap = [job, ...missing].join(' ')
      if (this.#filled.has(gap)) continue
      await this.#bringIfThere(job)
      this.#filled.add(gap)
    }
  }

  /**
   * Jobs that a screen shows, whether or not the log gives them to this device: what has come to each since it was
   * asked for last. What the workshop has not is still to be sent from here, or it was put back to before it.
   */
  async bring(jobs: readonly string[]): Promise<void> {
    await this.pull() // who wrote in them may have come in just now
    for (const job of jobs) await this.#bringIfThere(job)
  }

  async #bringIfThere(job: string): Promise<void> {
    try {
      await this.#bringWhole(job).catch(async (error: unknown) => {
        if (!(error instanceof Untrue)) throw error
        await this.pull() // somebody may have come in, and written in it, since that was asked
        await this.#bringWhole(job)
      })
    } catch (error) {
      if (!(error instanceof Refused && error.status === 404)) throw error
    }
  }

  async #bringWhole(job: string): Promise<void> {
    for (let more = true; more; ) more = await this.alone(() => this.#bringPage(job))
  }

  async #bringPage(job: string): Promise<boolean> {
    const answer = await this.#ask(`/api/jobs/${job}/log?since=${this.#broughtTo.get(job) ?? 0}`)
    await this.#take(answer, {})
    this.#broughtTo.set(job, answer.next)
    return answer.more
  }

  /** A desk is told of open jobs, and of the end of those that it was told of as open; the others it asks for. */
  #atDesk(told: number): string {
    return this.#device().role === 'mechanic' ? '' : `&held=${told}`
  }

  async #ask(path: string): Promise<PageAnswer> {
    const answer = await this.#records.move((most) =>
      this.api.json<PageAnswer>(most < MOST_RECORDS ? `${path}&most=${most}` : path, {
        members: LOG_MEMBERS,
      }),
    )
    if (answer.rewound) throw new Rewound()
    return answer
  }

  /** The tree's head that the text gives, if the workshop's key signed it: the one known here, or one that it led to. */
  async open(text: string): Promise<Checkpoint> {
    const opened = (await this.#opened(text)) ?? ((await this.#follow()) ? await this.#opened(text) : null)
    if (!opened) throw notOurs(t(words.answer))
    return opened
  }

  async #opened(text: string): Promise<Checkpoint | null> {
    const key = (await this.roster()).workshopKey
    return key === null ? null : openCheckpoint(text, key, this.#device().workshop).catch(() => null)
  }

  /** The ledger is read from its beginning: places known of another one are good for nothing but for what led to which key. */
  async #beginAnew({ checkpoint }: PageAnswer): Promise<void> {
    if (!(await this.#follow()) || !(await this.#opened(checkpoint))) throw notOurs(t(words.answer))
  }

  /** Take over what led to the workshop's key of now, if it goes on from what is known here. */
  async #follow(): Promise<boolean> {
    const { workshop } = this.#device()
    const told = await askChain(this.api, workshop)
    if (!told) return false
    const [followed, now] = [await this.#known(), told.roster.succession()]
    if (!followed.every((known) => leadsOn(known, now))) return false
    const undone =
      followed.map((known) => newRecoveries(known, now)).sort((one, other) => one.length - other.length)[0] ??
      []
    for (const one of undone) if (!(await isOfThisLedger(this.api, one, told.head))) return false
    const isSurprise =
      undone.length > 0 && !followed.some(({ keys }) => keys.includes(told.roster.workshopKey ?? ''))
    await this.store.ledger.follow(told.records, undone, await this.#backupsBy(told))
    this.#roster = null
    if (isSurprise) await this.store.announce(keyRecovered)
    return true
  }

  /** What is known of the workshop's keys: by what was followed before, and by what has been pulled. */
  async #known(): Promise<Succession[]> {
    const followed = await this.store.ledger.followed()
    const before = followed && (await leading(this.#device().workshop, followed.records).catch(() => null))
    return [await this.roster(), ...(before ? [before] : [])].map((roster) => roster.succession())
  }

  /** Which backups count by what is told. */
  async #backupsBy({ records }: Told): Promise<Backups> {
    const { cursor } = await this.store.ledger.seen()
    const roster = await this.#rosterBy(cursor, await linksOf(records))
    const stated = cursor === 0 ? [] : await this.store.ledger.statements(['backup.made', 'backup.outside'])
    return stated.reduce(
      (sum, { entry, index }) => (index === null ? sum : withBackup(sum, roster, entry, index)),
      noBackups,
    )
  }

  /**
   * The head under which an answer's records stand, once the proof says that they do: a genuine
   * checkpoint and a number could be had from anyone who once saw one.
   */
  async prove({ checkpoint, proof }: Proven, records: RecordAnswer[]): Promise<Checkpoint> {
    const head = await this.open(checkpoint)
    if (records.length && !(await isProven(records, head, proof))) throw new Untrue(unproven)
    return head
  }

  /** What has been seen, with a newer head. A smaller one is an older answer overtaken by a newer. */
  async seenWith(text: string, head: Checkpoint): Promise<Seen> {
    const seen = await this.store.ledger.seen()
    if (head.size === seen.size && encodePadded(head.root) !== seen.root) throw new Untrue(forked)
    return head.size > seen.size
      ? { ...seen, checkpoint: text, size: head.size, root: encodePadded(head.root) }
      : seen
  }

  /** The blobs that proven `blob.kept` records name, once they are known to be the workshop's own word. */
  async keptBlobs(records: RecordAnswer[]): Promise<KeptBlob[]> {
    const kept: KeptBlob[] = []
    for (const { index, record } of records) {
      const { entry } = await parseRecord(record)
      const roster = await this.roster()
      await verifyBy(roster, entry)
      kept.push(...blobsKept(roster, entry, index))
    }
    return kept
  }

  /**
   * Built from what is kept; it was checked when it came. What lies at the cursor or behind it, a
   * statement sent from here, has its turn when it is pulled: the fold takes each place once.
   * After a restore nothing has a place, and a revoked phone may pull nothing: what it held before
   * says whose receipts to trust until then; one that lost that, too, has the key of its invitation.
   * It is one for all who ask meanwhile, a screen or a page: a second one would lack what the page brings.
   */
  roster(): Promise<Roster> {
    if (this.#roster) return this.#roster
    const built = this.#rosterOfKept()
    this.#roster = built
    built.catch(() => {
      if (this.#roster === built) this.#roster = null
    })
    return built
  }

  async #rosterOfKept(): Promise<Roster> {
    const { cursor } = await this.store.ledger.seen()
    const followed = await this.store.ledger.followed()
    const links = followed && !followed.isStale ? await linksOf(followed.records) : []
    const roster = await this.#rosterBy(cursor, links)
    await roster.pin(this.#device().workshopKey)
    return roster
  }

  async #rosterBy(cursor: number, links: Awaited<ReturnType<typeof linksOf>>): Promise<Roster> {
    const roster = new Roster(this.#device().workshop)
    await roster.lead(links)
    const rows = await this.store.ledger.statements(ROSTER_KINDS)
    // Led by what is told of this ledger, it waits for the pages; else what was held before must do.
    if (cursor === 0 && !links.length)
      for (const [n, { entry }] of rows.entries()) await roster.apply(n, entry)
    if (cursor > 0)
      for (const { entry, index } of rows)
        if (index !== null && index < cursor) await roster.apply(index, entry)
    return roster
  }

  /** Forget who is who: the ledger it was read from is gone. */
  forget(): void {
    this.#roster = null
    this.#filled.clear()
    this.#broughtTo.clear()
  }

  async #take(answer: PageAnswer, at: Partial<Seen>): Promise<void> {
    await this.open(answer.checkpoint) // the key may be another one now, and then who is who is read anew
    const known = this.roster()
    const roster = await known
    const page: Omit<Page, 'seen'> = {
      pulled: [],
      standings: answer.standings,
      kept: [],
      backups: await this.store.ledger.backups(),
    }
    try {
      for (const { index, record } of answer.records) {
        const { entry } = await parseRecord(record)
        await verifyBy(roster, entry)
        await roster.apply(index, entry)
        page.pulled.push({ entry, index, standing: answer.standings[entry.id] ?? 'good' })
        page.kept.push(...blobsKept(roster, entry, index))
        page.backups = withBackup(page.backups, roster, entry, index)
      }
      const head = await this.prove(answer, answer.records)
      const seen = await this.seenWith(answer.checkpoint, head)
      await this.store.ledger.take({ ...page, seen: { ...seen, ...at } })
      // Once it can be read: who acts on it before that would look for it in vain.
      this.toldOfErasing ||= page.pulled.some(
        ({ entry: { kind } }) => kind === 'blob.erased' || kind.startsWith('erasure.'),
      )
      if (this.#roster !== known) this.#roster = null // begun anew meanwhile, before this page was kept
    } catch (error) {
      this.forget() // it may have read statements of a page that was not kept
      throw error
    }
  }

  #device() {
    const device = this.store.device.value
    if (!device) throw new Error('there is no ledger to read before this phone belongs to a workshop')
    return device
  }
}

async function verifyBy(roster: Roster, entry: Entry): Promise<void> {
  const key = roster.keyOf(entry)
  if (key === null || !(await verifyEntry(entry, key))) throw notOurs('A record')
}

function blobsKept(roster: Roster, entry: Entry, index: number): KeptBlob[] {
  if (
    entry.kind !== 'blob.kept' ||
    !roster.speaksAs(entry, index, ['console']) ||
    roster.isOfLostDisk(entry, index)
  )
    return []
  return entry.body.blobs.map(({ blob }) => ({ blob, index }))
}

function withBackup(backups: Backups, roster: Roster, entry: Entry, index: number): Backups {
  if (
    entry.kind === 'backup.made' &&
    roster.speaksAs(entry, index, ['console']) &&
    !roster.isOfLostDisk(entry, index)
  ) {
    // It cannot cover what came after it.
    const size = Math.min(entry.body.size, index)
    return { ...backups, made: Math.max(backups.made, size) }
  }
  if (entry.kind === 'backup.outside' && roster.speaksAs(entry, index, ['console', 'owner'])) {
    const { size, until } = entry.body
    const said = { size: Math.min(size, index), until }
    const isKnown = backups.outside.some((one) => one.size === said.size && one.until === until)
    return isKnown ? backups : { ...backups, outside: [...backups.outside, said] }
  }
  return backups
}
