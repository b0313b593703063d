/**
 * Pulling the workshop's ledger: every record's signature is checked before it is kept, and a
 * page counts only under a checkpoint that the workshop's key signed and that covers it.
 */
import { decodePadded, encodePadded } from '../ledger/base64url'
import { EDITION } from '../ledger/bodies'
import { openCheckpoint, type Checkpoint } from '../ledger/checkpoint'
import { verifyEntry, type Entry } from '../ledger/entry'
import { parseRecord } from '../ledger/record'
import { leafHash, verifyInclusionOf } from '../ledger/tree'
import type { Backups, KeptBlob, Page, PhoneStore, Pulled, Seen } from '../store'
import type { Api } from './api'
import { forked, notOurs, Refused, unproven, Untrue } from './errors'
import { Portion } from './line'
import { Roster, ROSTER_KINDS } from './roster'

export interface SentRecord {
  index: number
  record: string
}

/** An answer that proves its records: the checkpoint, and what leads from them to its root. */
export interface Proven {
  checkpoint: string
  proof: string[]
}

interface LogAnswer extends Proven {
  records: SentRecord[]
  next: number
  more: boolean
  standings: Record<string, Pulled['standing']>
  rewound: boolean
}

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
  #roster: Roster | null = null
  readonly #askedWhole = new Set<string>()
  readonly #records = new Portion(FEWEST_RECORDS, MOST_RECORDS, FIRST_RECORDS)

  constructor(
    private readonly api: Api,
    private readonly store: PhoneStore,
  ) {}

  /** Everything this phone may see that it has not seen yet. `onPage` hears how far it is when more comes. */
  async pull(onPage: (next: number, size: number) => void): Promise<void> {
    let more = true
    while (more) {
      const { cursor } = await this.store.post.seen()
      const answer = await this.#ask(`/api/log?since=${cursor}`)
      if (cursor === 0) this.#roster = new Roster(this.#device().workshop) // read from its beginning
      await this.#take(answer, { cursor: answer.next })
      more = answer.more
      if (more) onPage(answer.next, (await this.store.post.seen()).size)
    }
  }

  /**
   * Once after the app has become newer: what it could not read it was not given. What waits has
   * been sent by then, for on a poor line this takes long; it goes on where it broke off.
   */
  async pullAgain(onPage: (next: number, size: number) => void): Promise<void> {
    let again = await this.store.post.again(EDITION)
    if (again === null) return
    while (again !== null) {
      const answer = await this.#ask(`/api/log?since=${again}`)
      const { cursor, size } = await this.store.post.seen()
      again = answer.next < cursor ? answer.next : null
      await this.#take(answer, { again })
      if (again !== null) onPage(again, size)
    }
    this.forget() // statements that came in late have their turn at their own place
  }

  /**
   * A job may come into this phone's sight after the log has passed its first entries: each one
   * with a gap is asked for as a whole, once in a run of the app.
   */
  async fillGaps(): Promise<void> {
    const jobs = (await this.store.post.jobsWithGaps()).filter((job) => !this.#askedWhole.has(job))
    for (const job of jobs) {
      try {
        await this.#fill(job)
      } catch (error) {
        // Not in the workshop: it is still to be sent from here, or the workshop was put back to before it.
        if (!(error instanceof Refused && error.status === 404)) throw error
      }
      this.#askedWhole.add(job)
    }
  }

  async #fill(job: string): Promise<void> {
    for (let [since, more] = [0, true]; more; ) {
      const answer = await this.#ask(`/api/jobs/${job}/log?since=${since}`)
      await this.#take(answer, {})
      ;[since, more] = [answer.next, answer.more]
    }
  }

  async #ask(path: string): Promise<LogAnswer> {
    const answer = await this.#records.move((most) =>
      this.api.json<LogAnswer>(most < MOST_RECORDS ? `${path}&most=${most}` : path, { members: LOG_MEMBERS }),
    )
    if (answer.rewound) throw new Rewound()
    return answer
  }

  /** The tree's head that the text gives, if the workshop's key signed it. */
  async open(text: string): Promise<Checkpoint> {
    const { workshop } = this.#device()
    const key = (await this.roster()).workshopKey
    const opened = key === null ? null : await openCheckpoint(text, key, workshop).catch(() => null)
    if (!opened) throw notOurs('The answer')
    return opened
  }

  /**
   * The head under which an answer's records stand, once the proof says that they do: a genuine
   * checkpoint and a number could be had from anyone who once saw one.
   */
  async prove({ checkpoint, proof }: Proven, records: SentRecord[]): Promise<Checkpoint> {
    const head = await this.open(checkpoint)
    if (records.length && !(await isProven(records, head, proof))) throw new Untrue(unproven)
    return head
  }

  /** What has been seen, with a newer head. A smaller one is an older answer overtaken by a newer. */
  async seenWith(text: string, head: Checkpoint): Promise<Seen> {
    const seen = await this.store.post.seen()
    if (head.size === seen.size && encodePadded(head.root) !== seen.root) throw new Untrue(forked)
    return head.size > seen.size ? { ...seen, checkpoint: text, size: head.size, root: encodePadded(head.root) } : seen
  }

  /** The blobs that proven `blob.kept` records name, once they are known to be the workshop's own word. */
  async keptBlobs(records: SentRecord[]): Promise<KeptBlob[]> {
    const kept: KeptBlob[] = []
    for (const { index, record } of records) {
      const { entry } = await parseRecord(record)
      await this.#verify(entry)
      kept.push(...blobsKept(await this.roster(), entry, index))
    }
    return kept
  }

  /**
   * Built from what is kept; it was checked when it came. What lies at the cursor or behind it, a
   * statement sent from here, has its turn when it is pulled: the fold takes each place once.
   * After a restore nothing has a place, and a revoked phone may pull nothing: what it held before
   * says whose receipts to trust until then; one that lost that, too, has the key of its invitation.
   */
  async roster(): Promise<Roster> {
    if (!this.#roster) {
      const { workshop, workshopKey } = this.#device()
      const roster = new Roster(workshop)
      const { cursor } = await this.store.post.seen()
      const rows = await this.store.post.statements(ROSTER_KINDS)
      if (cursor === 0) for (const [n, { entry }] of rows.entries()) await roster.apply(n, entry)
      else for (const { entry, index } of rows) if (index !== null && index < cursor) await roster.apply(index, entry)
      await roster.pin(workshopKey)
      this.#roster = roster
    }
    return this.#roster
  }

  /** Forget who is who: the ledger it was read from is gone. */
  forget(): void {
    this.#roster = null
    this.#askedWhole.clear()
  }

  async #take(answer: LogAnswer, at: Partial<Seen>): Promise<void> {
    const roster = await this.roster()
    const page: Omit<Page, 'seen'> = {
      pulled: [],
      standings: answer.standings,
      kept: [],
      backups: await this.store.post.backups(),
    }
    try {
      for (const { index, record } of answer.records) {
        const { entry } = await parseRecord(record)
        await this.#verify(entry)
        await roster.apply(index, entry)
        page.pulled.push({ entry, index, standing: answer.standings[entry.id] ?? 'good' })
        page.kept.push(...blobsKept(roster, entry, index))
        page.backups = withBackup(page.backups, roster, entry, index)
      }
      const head = await this.prove(answer, answer.records)
      const seen = await this.seenWith(answer.checkpoint, head)
      await this.store.post.take({ ...page, seen: { ...seen, ...at } })
    } catch (error) {
      this.forget() // it may have read statements of a page that was not kept
      throw error
    }
  }

  async #verify(entry: Entry): Promise<void> {
    const key = (await this.roster()).keyOf(entry)
    if (key === null || !(await verifyEntry(entry, key))) throw notOurs('A record')
  }

  #device() {
    const device = this.store.device.value
    if (!device) throw new Error('there is no ledger to read before this phone belongs to a workshop')
    return device
  }
}

/** Whether the proof leads from all these records, each at its own index, to the root of the head. */
export async function isProven(records: SentRecord[], head: Checkpoint, proof: unknown): Promise<boolean> {
  // A `blob.kept` that this phone brought back may be its own receipt, too: one place, one text.
  const texts = new Map(records.map(({ index, record }) => [index, record]))
  const leaves = new Map<number, Uint8Array<ArrayBuffer>>()
  for (const [index, record] of texts) leaves.set(index, await leafHash(new TextEncoder().encode(record)))
  try {
    const nodes = (proof as string[]).map(decodePadded)
    return records.every(({ index, record }) => texts.get(index) === record) && (await verifyInclusionOf(leaves, head.size, nodes, head.root))
  } catch {
    return false // not a list of hashes
  }
}

function blobsKept(roster: Roster, entry: Entry, index: number): KeptBlob[] {
  if (entry.kind !== 'blob.kept' || !roster.speaksAs(entry, index, ['console']) || roster.isOfLostDisk(entry, index)) return []
  return entry.body.blobs.map(({ blob }) => ({ blob, index }))
}

function withBackup(backups: Backups, roster: Roster, entry: Entry, index: number): Backups {
  if (entry.kind === 'backup.made' && roster.speaksAs(entry, index, ['console']) && !roster.isOfLostDisk(entry, index)) {
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
