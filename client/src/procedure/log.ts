/**
 * A job's log as a graph: what each entry's links reach, and what reaches it. The order of `History.entries` is fixed
 * by the links and the ids alone, so that no value depends on a clock or on who synced first.
 */
import { add, addAll, allBits, type Bits, copied, has, isEmpty, noBits } from './bits'

/** What an entry's `after` may name. */
const MOST_HEADS = 16

/** What the fold reads of an entry: its claimed time is not among it. */
export interface LogEntry {
  id: string
  after: readonly string[]
  kind: string
  body: Readonly<Record<string, unknown>>
  standing: 'good' | 'gap' | 'doubted' | 'forked'
  person: string
  device: string
}

/** The entries in an order that keeps links, with the past and the future of each. */
export class History {
  readonly entries: readonly LogEntry[]
  readonly index: ReadonlyMap<string, number>
  readonly all: Bits
  readonly past: readonly Bits[]
  readonly future: readonly Bits[]

  private constructor(entries: readonly LogEntry[], of: Pick<History, 'past' | 'future'> | null) {
    this.entries = entries
    this.index = new Map(entries.map((entry, at) => [entry.id, at]))
    this.all = allBits(entries.length)
    this.past = of?.past ?? this.pasts()
    this.future = of?.future ?? this.futures()
  }

  static of(entries: readonly LogEntry[]): History {
    return new History(inOrder(new Map(entries.map((entry) => [entry.id, entry]))), null)
  }

  /** With one entry more, the last of all; null where it has not seen all others, or one of them names it. */
  followedBy(entry: LogEntry): History | null {
    const seen = new Set(entry.after)
    const isLast = this.entries.every(
      ({ id, after }, at) => (seen.has(id) || !isEmpty(this.future[at]!)) && !after.includes(entry.id),
    )
    if (!isLast || this.index.has(entry.id)) return null
    const size = this.entries.length + 1
    const future = this.future.map((bits) => copied(bits, size))
    for (const bits of future) add(bits, size - 1)
    return new History([...this.entries, entry], {
      past: [...this.past, this.all].map((bits) => copied(bits, size)),
      future: [...future, noBits(size)],
    })
  }

  /** The entries that an entry has not seen and that have not seen it. */
  beside(at: number): Bits {
    const [past, future] = [this.past[at]!, this.future[at]!]
    const beside = this.all.map((word, w) => word & ~past[w]! & ~future[w]!)
    beside[at >>> 5]! &= ~(1 << (at & 31))
    return beside
  }

  /** The ids that a new entry names in `after`: the newest, at most 16, sorted. */
  heads(): string[] {
    const newest = this.entries.filter((_, at) => isEmpty(this.future[at]!))
    return newest
      .map(({ id }) => id)
      .sort(byText)
      .slice(0, MOST_HEADS)
  }

  private pasts(): Bits[] {
    const pasts: Bits[] = []
    for (const entry of this.entries) {
      const past = noBits(this.entries.length)
      for (const parent of entry.after) {
        const at = this.index.get(parent)
        if (at === undefined || has(past, at)) continue
        addAll(past, pasts[at]!)
        add(past, at)
      }
      pasts.push(past)
    }
    return pasts
  }

  private futures(): Bits[] {
    // From the last to the first: an entry's future is whole before its parents take it over.
    const futures = this.entries.map(() => noBits(this.entries.length))
    for (let at = this.entries.length - 1; at >= 0; at--) {
      for (const parent of this.entries[at]!.after) {
        const earlier = this.index.get(parent)
        if (earlier === undefined) continue
        addAll(futures[earlier]!, futures[at]!)
        add(futures[earlier]!, at)
      }
    }
    return futures
  }
}

/** Code unit by code unit, never by a locale: both languages must sort alike. */
export const byText = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0)

/** Sorts by the length of the longest way back, then by id. A link to an entry that is not here leads nowhere. */
function inOrder(byId: ReadonlyMap<string, LogEntry>): LogEntry[] {
  const children = new Map<string, string[]>([...byId.keys()].map((id) => [id, []]))
  const waiting = new Map<string, number>()
  for (const entry of byId.values()) {
    const parents = new Set(entry.after.filter((parent) => byId.has(parent)))
    waiting.set(entry.id, parents.size)
    for (const parent of parents) children.get(parent)!.push(entry.id)
  }
  const depths = new Map<string, number>()
  let layer = [...waiting].filter(([, count]) => count === 0).map(([id]) => id)
  for (let depth = 0; layer.length > 0; depth++) {
    const following: string[] = []
    for (const id of layer) {
      depths.set(id, depth)
      for (const child of children.get(id)!) {
        const left = waiting.get(child)! - 1
        waiting.set(child, left)
        if (left === 0) following.push(child)
      }
    }
    layer = following
  }
  if (depths.size < byId.size) {
    throw new Error('entries name each other in a circle: their ids are not their hashes')
  }
  return [...byId.values()].sort((a, b) => depths.get(a.id)! - depths.get(b.id)! || byText(a.id, b.id))
}
