/** What the store announces: it stands on every screen until somebody has read it, and again at the next start. */
import { signal } from '@preact/signals'
import type { Database } from './database'
import { storageClosed } from './notices'
import { keepSingle, readSingle } from './singles'
import type { Trouble } from './types'

/** Notices of entries that are gone. */
const LOSSES = ['entries-lost', 'phone-wiped']

const without = (notices: readonly Trouble[], code: string) => notices.filter((said) => said.code !== code)

export class Announcements {
  readonly standing = signal<Trouble[]>([])

  constructor(private readonly db: Database) {}

  /** Whatever was said before and nobody has read. */
  async restore(): Promise<void> {
    const kept = (await readSingle(this.db, 'notices')) ?? []
    this.standing.value = this.#stands(storageClosed.code) ? [...kept, storageClosed] : kept
  }

  /** What was told of a loss stands. */
  get tellsOfLoss(): boolean {
    return LOSSES.some((code) => this.#stands(code))
  }

  /** On the screen in any case; kept for the next start if the storage lets us. */
  async say(trouble: Trouble): Promise<void> {
    this.show(trouble)
    await this.#keep()
  }

  /** For this start alone. */
  show(trouble: Trouble): void {
    this.standing.value = [...without(this.standing.value, trouble.code), trouble]
  }

  async sayIf(isSo: boolean, trouble: Trouble): Promise<void> {
    if (isSo) await this.say(trouble)
    else await this.unsay(trouble.code)
  }

  async unsay(code: string): Promise<void> {
    if (!this.#stands(code)) return
    this.standing.value = without(this.standing.value, code)
    await this.#keep()
  }

  /** Read. Of a loss the journal knows until then that nobody has. */
  async dismiss(code: string): Promise<void> {
    await this.unsay(code)
    if (!this.tellsOfLoss) await keepSingle(this.db, 'unread', null).catch(() => undefined) // it is told once more then
  }

  #stands(code: string): boolean {
    return this.standing.value.some((said) => said.code === code)
  }

  async #keep(): Promise<void> {
    const kept = without(this.standing.value, storageClosed.code) // at the next start it is open
    await keepSingle(this.db, 'notices', kept).catch(() => undefined)
  }
}
