/**
 * Sync for the screens, before its code is here: it is no part of what the first screen needs, and comes once that
 * stands, or when something is asked of it.
 */
import { signal } from '@preact/signals'
import type { PhoneStore, Trouble } from '../store'
import { pictureHere, smallHere } from './pictures-here'
import type { Answer, Shown, Sync, SyncStatus } from './types'
import * as says from '../words/en/sync/late'
import { t } from '../words/message'

const missing: Trouble = { code: 'chunk-missing', message: t(says.missing), hint: t(says.missingHint) }

/** By the clock, too: a sign that there is a line again is not to be trusted alone. */
const AGAIN_MS = 30_000

export class LateSync implements Sync {
  readonly status = signal<SyncStatus>({ state: 'idle', words: '', sent: 0, total: 0, bytes: 0 })
  readonly alarm = signal<Trouble | null>(null)
  #coming: Promise<Sync> | null = null
  #waits = false

  constructor(private readonly store: PhoneStore) {}

  #come(): Promise<Sync> {
    this.#coming ??= import('./index')
      .then(({ startSync }) => startSync(this.store, {}, this))
      .catch((error: unknown) => {
        this.#coming = null
        this.status.value = { ...this.status.value, state: 'stopped', words: t(says.missing) }
        this.#tryLater()
        throw error
      })
    return this.#coming
  }

  /** Once it is here it begins to send by itself. */
  #tryLater(): void {
    if (this.#waits) return
    this.#waits = true
    const again = () => {
      clearTimeout(timer)
      removeEventListener('online', again)
      this.#waits = false
      void this.now()
    }
    const timer = setTimeout(again, AGAIN_MS)
    addEventListener('online', again)
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

  /** The phone's own act, like signing out: it needs nothing of what may still be missing. */
  async dismiss(): Promise<void> {
    this.alarm.value = await this.store.alarm.dismiss(this.alarm.value)
  }

  async signOut(): Promise<void> {
    await this.store.signOut()
    await this.now()
  }

  async persons(): Promise<string[]> {
    return (await this.#come().catch(() => null))?.persons() ?? []
  }

  async workAs(person: string): Promise<void> {
    await (await this.#come().catch(() => null))?.workAs(person)
  }

  async value(ref: Parameters<Sync['value']>[0]): Promise<string | null> {
    const held = await this.store.secretValue(ref)
    return held ?? (await this.#come().catch(() => null))?.value(ref) ?? null
  }

  async picture(sha: string, width?: number): Promise<Shown> {
    const held = await pictureHere(this.store, sha)
    if (held) return held
    const sync = await this.#come().catch(() => null)
    return sync ? sync.picture(sha, width) : ((await smallHere(this.store, sha, width)) ?? { at: 'no-line' })
  }

  enrol(invitation: Parameters<Sync['enrol']>[0]): Promise<Answer<null>> {
    return this.#asked((sync) => sync.enrol(invitation))
  }

  bringJobs(jobs: readonly string[]): Promise<Answer<null>> {
    return this.#asked((sync) => sync.bringJobs(jobs))
  }

  ask<T>(path: string, question?: unknown): Promise<Answer<T>> {
    return this.#asked((sync) => sync.ask<T>(path, question))
  }

  send<T>(path: string, asked: Parameters<Sync['send']>[1]): Promise<Answer<T>> {
    return this.#asked((sync) => sync.send<T>(path, asked))
  }

  askBytes(path: string, question?: unknown): Promise<Answer<File>> {
    return this.#asked((sync) => sync.askBytes(path, question))
  }
}
