/**
 * Sending what waits. Entries and private values go in batches; one that the workshop will not
 * take stays on the phone with the reason and holds up no other.
 */
import type { ReceiptAnswer } from '../ledger/answers'
import type { EntryRow, PhoneStore, Trouble, ValueRow } from '../store'
import type { Api } from './api'
import { Offline, Refused } from './errors'
import { Portion } from './line'
import { Rewound, type Ledger } from './pull'
import type { Progress } from './types'
import * as words from '../words/en/sync/push'
import { t } from '../words/message'

const FEWEST_LINES = 4
const MOST_LINES = 50
const VALUES_A_LINE = 2

interface Batch {
  entries: EntryRow[]
  values: ValueRow[]
}

export class Push {
  readonly #lines = new Portion(FEWEST_LINES, MOST_LINES, MOST_LINES)

  constructor(
    private readonly api: Api,
    private readonly store: PhoneStore,
    private readonly ledger: Ledger,
    private readonly now: () => Date,
  ) {}

  /** Send all of it. `withRefused` tries again what was refused before. */
  async push(withRefused: boolean, progress: Progress): Promise<void> {
    const entries = await this.store.ledger.waiting(withRefused)
    const values = inOrderOf(entries, await this.store.values.waiting(withRefused))
    const all = entries.length
    while (entries.length || values.length) {
      await this.#lines.move(async (lines) => {
        const sent = entries.splice(0, lines)
        const due = values.filter(({ place }) => place < all - entries.length).slice(0, lines * VALUES_A_LINE)
        const batch = { entries: sent, values: values.splice(0, due.length).map(({ row }) => row) }
        progress.now(sendingWords(all - entries.length - batch.entries.length, batch.entries.length, all))
        await this.#send(batch)
        progress.sent(batch.entries.length)
      })
    }
  }

  /** An empty batch: a phone that may read nothing hears by it whether the workshop was put back. */
  ask(): Promise<void> {
    return this.#send({ entries: [], values: [] })
  }

  /** One batch; if the workshop refuses it as a whole, its halves, down to the one to blame. */
  async #send(batch: Batch): Promise<void> {
    try {
      await this.ledger.alone(() => this.#sendWhole(batch))
    } catch (error) {
      if (!isToBlame(error)) throw error
      const halves = inHalves(batch)
      if (!halves) await this.#refuse(batch, error.trouble)
      else for (const half of halves) await this.#send(half)
    }
  }

  async #sendWhole(batch: Batch): Promise<void> {
    const answer = await this.api.json<ReceiptAnswer>('/api/entries', {
      method: 'POST',
      members: ['indices', 'kept', 'refused', 'checkpoint'],
      json: {
        sent_at: this.now().toISOString(),
        lines: batch.entries.map(({ line }) => line),
        blobs: batch.values.map(({ text }) => text),
      },
    })
    await this.#receive(batch, answer)
  }

  async #receive(batch: Batch, answer: ReceiptAnswer): Promise<void> {
    if (answer.rewound) throw new Rewound()
    const sent = batch.entries.filter(({ id }) => answer.indices[id] !== undefined)
    const records = sent.map(({ id, line }) => ({
      index: answer.indices[id] as number,
      record: `${answer.stamps[id] ?? ''} ${line}`,
    }))
    const head = await this.ledger.prove(answer, [...records, ...answer.kept])
    const refused = answer.refused.map(({ line, blob, code, message, hint }) => ({
      id: (line === undefined ? batch.values[blob ?? -1]?.blob : batch.entries[line]?.id) ?? '',
      trouble: { code, message, hint },
    }))
    // Neither taken nor refused is no answer: it stays, and counts as no line.
    if (sent.length + refused.length === 0 && batch.entries.length)
      throw new Offline('the receipt names none of the entries')
    await this.store.ledger.receive({
      indices: Object.fromEntries(sent.map(({ id }) => [id, answer.indices[id] as number])),
      kept: await this.ledger.keptBlobs(answer.kept),
      refused,
      held: answer.held ?? {},
      unread: sent.filter(({ id }) => answer.unread?.includes(id)).length,
      seen: await this.ledger.seenWith(answer.checkpoint, head),
    })
  }

  async #refuse(batch: Batch, trouble: Trouble): Promise<void> {
    const [one] = [...batch.entries.map(({ id }) => id), ...batch.values.map(({ blob }) => blob)]
    if (!one) return
    await this.ledger.alone(async () => {
      const seen = await this.store.ledger.seen()
      await this.store.ledger.receive({ indices: {}, kept: [], refused: [{ id: one, trouble }], seen })
    })
  }
}

/**
 * The values by the place of the first line that names each, before which it does not go: every
 * device is told the hash of what is kept, and to the workshop a value is of the job that names it first.
 */
function inOrderOf(entries: EntryRow[], values: ValueRow[]): { row: ValueRow; place: number }[] {
  const places = new Map<string, number>()
  for (const [place, { line }] of entries.entries())
    for (const named of line.match(/[0-9a-f]{64}/g) ?? []) if (!places.has(named)) places.set(named, place)
  const placed = values.map((row) => ({ row, place: places.get(row.blob) ?? -1 }))
  return placed.sort((one, other) => one.place - other.place)
}

function sendingWords(before: number, count: number, all: number): string {
  if (count === 0) return t(words.namesAndWords)
  const [first, last] = [before + 1, before + count]
  return first === last ? t(words.entryOf, { first, all }) : t(words.entriesToOf, { first, last, all })
}

/** The batch itself was refused: not the session, not the load, not a fault of the workshop's. */
function isToBlame(error: unknown): error is Refused {
  return error instanceof Refused && [400, 413, 422].includes(error.status)
}

function inHalves({ entries, values }: Batch): [Batch, Batch] | null {
  if (entries.length + values.length < 2) return null
  if (entries.length && values.length)
    return [
      { entries, values: [] },
      { entries: [], values },
    ]
  const [many, few] = [Math.ceil(entries.length / 2), Math.ceil(values.length / 2)]
  return [
    { entries: entries.slice(0, many), values: values.slice(0, few) },
    { entries: entries.slice(many), values: values.slice(few) },
  ]
}
