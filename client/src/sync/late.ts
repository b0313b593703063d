/**
 * Sync for the screens, before its code is here: it is no part of what the first screen needs, and comes once that
 * stands, or when something is asked of it.
 */
import { signal } from '@preact/signals'
import type { PhoneStore, Trouble } from '../store'
import type { Answer, Sync, SyncStatus } from './types'
import * as says from '../words/en/sync/late'
import { t } from '../words/message'

const missing: Trouble = { code: 'chunk-missing', message: t(says.missing), hint: t(says.missingHint) }

export class LateSync implements Sync {
  readonly status = signal<SyncStatus>({ state: 'idle', words: '', sent: 0, total: 0, bytes: 0 })
  readonly alarm = signal<Trouble | null>(null)
  #coming: Promise<Sync> | null = null

  constructor(private readonly store: PhoneStore) {}

  #come(): Promise<Sync> {
    this.#coming ??= import('./index')
      .then(({ startSync }) => startSync(this.store, {}, this))
      .catch((error: unknown) => {
        this.#coming = null
        this.status.value = { ...this.status.value, state: 'stopped', words: t(says.missing) }
        throw error
      })
    return this.#coming
  }

  /** What is asked of the workshop; without the code for it that cannot be asked. */
  async #asked<T>(ask: (sync: Sync) => Promise<Answer<T>>): Promise<Answer<T>> {
    const sync = await this.#come().catch(() => null)
    return sync ? ask(sync) : { ok: false, trouble: missing }
  }

  /** It has been said in the status if there is nothing that could be told. */
  async now(): Promise<void> {
    await (await this.#come().catch(() => null))?.now()
  }

  async dismiss(): Promise<void> {
    await (await this.#come()).dismiss()
  }

  /** The phone's own act: it needs nothing of what may still be missing. */
  async signOut(): Promise<void> {
    await this.store.signOut()
    await this.now()
  }

  async persons(): Promise<string[]> {
    return (await this.#come().catch(() => null))?.persons() ?? []
  }

  async workAs(person: string): Promise<void> {
    await (await this.#come()).workAs(person)
  }

  async value(ref: Parameters<Sync['value']>[0]): Promise<string | null> {
    return (await this.#come().catch(() => null))?.value(ref) ?? null
  }

  async picture(...asked: Parameters<Sync['picture']>): ReturnType<Sync['picture']> {
    const sync = await this.#come().catch(() => null)
    return sync ? sync.picture(...asked) : { at: 'no-line' }
  }

  enrol(invitation: Parameters<Sync['enrol']>[0]): Promise<Answer<null>> {
    return this.#asked((sync) => sync.enrol(invitation))
  }

  ask<T>(path: string, question?: unknown): Promise<Answer<T>> {
    return this.#asked((sync) => sync.ask<T>(path, question))
  }

  askBytes(path: string): Promise<Answer<Blob>> {
    return this.#asked((sync) => sync.askBytes(path))
  }
}
