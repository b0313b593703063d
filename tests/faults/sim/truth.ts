/** What the workshop really holds, read from its disk and not through its interface. */
import { parseEntry, type Entry } from '@client/ledger/entry'
import { call } from './server'
import type { World } from './world'

interface Row {
  id: string
  line: string
  standing: string
}

export interface HeldEntry {
  entry: Entry
  standing: string
}

export class Truth {
  rows: Row[] = []
  /** Everything that was ever in the ledger, also in one that was lost since. */
  readonly ever = new Set<string>()
  readonly backedUp = new Set<string>()
  restores = 0
  #backup: Row[] | null = null

  constructor(private readonly world: World) {}

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
    this.#ask('full', { full })
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

  /** Every record against the tree, every view anew; what blobs the disk lacks. */
  rebuild(): { missing: string[]; erased: string[] } {
    return this.#ask('rebuild')
  }

  /** Standings change without a new record: all of it once more. */
  async whole(): Promise<HeldEntry[]> {
    this.rows = []
    this.look()
    return Promise.all(this.rows.map(async ({ line, standing }) => ({ entry: await parseEntry(line), standing })))
  }

  #ask<T>(op: string, more: object = {}): T {
    return call<T>({ op, now: this.world.nowMs, ...more })
  }
}
