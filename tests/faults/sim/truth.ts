/** What the workshop really holds, read from its disk and not through its interface. */
import { parseEntry, type Entry } from '@client/ledger/entry'
import { call } from './server'
import type { World } from './world'

interface Row {
  id: string
  line: string
  standing: string
  /** 1: held back of a revoked device, and nobody is given it. */
  held: number
}

export interface HeldEntry {
  entry: Entry
  standing: string
  /** 1: held back of a revoked device, and nobody is given it. */
  held: number
}

export class Truth {
  rows: Row[] = []
  /** Everything that was ever in the ledger, also in one that was lost since. */
  readonly ever: Set<string>
  readonly backedUp: Set<string>
  restores = 0
  #isFull = false
  /** The same lines are read again and again. */
  readonly #entries: Map<string, Promise<Entry>>
  #backup: Row[] | null = null

  constructor(
    private readonly world: World,
    past?: Truth,
  ) {
    this.ever = new Set(past?.ever)
    this.backedUp = new Set(past?.backedUp)
    this.#entries = past ? past.#entries : new Map()
    if (past) [this.rows, this.restores, this.#backup] = [[...past.rows], past.restores, past.#backup]
  }

  get hasBackup(): boolean {
    return this.#backup !== null
  }

  /** The records that were written since the last look. */
  look(): void {
    const { rows } = this.#ask<{ rows: Row[] }>('rows', { since: this.rows.length })
    for (const row of rows) this.ever.add(row.id)
    this.rows.push(...rows)
  }

  has(id: string): boolean {
    return this.rows.some((row) => row.id === id)
  }

  backUp(): void {
    const size = this.#ask<number>('back_up')
    this.look()
    this.#backup = this.rows.slice(0, size)
    for (const { id } of this.#backup) this.backedUp.add(id)
  }

  restore(): void {
    this.look()
    this.#ask('restore')
    this.restores += 1
    this.rows = []
    this.look()
  }

  restart(): void {
    this.#ask('restart')
  }

  setFull(full: boolean): void {
    if (full !== this.#isFull) this.#ask('full', { full })
    this.#isFull = full
  }

  revoke(device: string): void {
    this.#ask('revoke', { device })
  }

  erase(blob: string): void {
    this.#ask('erase', { blob })
  }

  /** The text behind `#invite=` of a new invitation, for a person or a new one. */
  invite(role: string, name: string, person: string | null): string {
    return this.#ask('invite', { role, name, person })
  }

  /** Which of these blobs are not whole in the workshop, or in its backup. */
  missing(blobs: string[], where: 'workshop' | 'backup' = 'workshop'): string[] {
    return blobs.length ? this.#ask('missing', { blobs, where }) : []
  }

  /** What blobs the ledger keeps and the disk lacks; now and then with every record held against the tree, and every view anew. */
  lacks(): { missing: string[]; erased: string[] } {
    return this.#ask('lacks', { rebuild: this.world.chance.is(0.1) })
  }

  /** Standings change without a new record: all of it once more. */
  async whole(): Promise<HeldEntry[]> {
    this.rows = []
    this.look()
    return Promise.all(
      this.rows.map(async ({ line, standing, held }) => ({ entry: await this.#entry(line), standing, held })),
    )
  }

  #entry(line: string): Promise<Entry> {
    const entry = this.#entries.get(line) ?? parseEntry(line)
    this.#entries.set(line, entry)
    return entry
  }

  #ask<T>(op: string, more: object = {}): T {
    return call<T>({ op, now: this.world.nowMs, ...more })
  }
}
