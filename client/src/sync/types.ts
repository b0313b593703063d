/** What the screens may ask of sync. Nothing here ever blocks a screen. */
import type { ReadonlySignal } from '@preact/signals'
import type { Ref } from '../ledger/bodies'
import type { Trouble } from '../store'
import type { Invitation } from '../ledger/invitation'
import type { Asked } from './api'

export type SyncState = 'idle' | 'sending' | 'offline' | 'stopped'

export interface SyncStatus {
  state: SyncState
  /** Plain sentences, ready to be shown: while sending, what goes now and how much is left. */
  words: string
  /** Entries and photos of this round: done, and all. */
  sent: number
  total: number
  /** Bytes of photos still to be sent. */
  bytes: number
}

/** What the status line counts in a round. */
export interface Progress {
  /** Something came through that had not before: after a failure it is tried again soon. */
  gotOn(): void
  /** The ledger comes in pages: so many of its records are here. */
  read(records: number, all: number): void
  total(items: number, bytes: number): void
  /** What is being sent now, in words. */
  now(what: string): void
  sent(items: number): void
  bytes(sent: number): void
}

/** An answer of the workshop's, or why there is none. */
export type Answer<T> = { ok: true; value: T } | { ok: false; trouble: Trouble }

/**
 * A photo for a screen, or why there is none:
 * `no-line` the workshop was not reached; `refused` it answered, and does not give it to this device; `not-there` it has not come there, or was erased (the ledger says which);
 * `damaged` its bytes there are altered or missing; `no-picture` its bytes are there, and are no picture that can be shown.
 */
export type Shown =
  | { at: 'here'; blob: Blob }
  | { at: 'no-line' | 'refused' | 'not-there' | 'damaged' | 'no-picture' }

export interface Sync {
  status: ReadonlySignal<SyncStatus>
  /** The workshop's record was cut or forked: shown until somebody has dealt with it. */
  alarm: ReadonlySignal<Trouble | null>
  /** The alarm has been dealt with. */
  dismiss(): Promise<void>
  /** Try now; resolves when the round is over, whatever came of it. */
  now(): Promise<void>
  /** Make a key, join the workshop, and pull what it has. */
  enrol(invitation: Invitation): Promise<Answer<null>>
  /** For whom this phone may write, as an owner admitted them on it: its own person first. Empty until that is pulled. */
  persons(): Promise<string[]>
  /** What is written from now on is that person's; nobody's who is not admitted. */
  workAs(person: string): Promise<void>
  /**
   * Sign this phone out: it forgets its key and what it received, and the session ends. Without a line the session is
   * ended when there is one.
   */
  signOut(): Promise<void>
  /** A private value that this phone does not hold, fetched and kept. Null when it cannot be had. */
  value(ref: Ref): Promise<string | null>
  /** A photo: from this phone, else from the workshop, checked against its hash. `width` asks for a copy. */
  picture(sha: string, width?: number): Promise<Shown>
  /** What has come to jobs that are looked at, fetched, checked and kept: the desk is not given all there are by itself. */
  bringJobs(jobs: readonly string[]): Promise<Answer<null>>
  /**
   * A signed-in question for desk and audit: JSON in the shape the contract gives. `question` goes in the body of a
   * POST: what names a vehicle must not stand in an address.
   */
  ask<T>(path: string, question?: unknown): Promise<Answer<T>>
  /** The same by another method, or with bytes, or naming the version of what is written. */
  send<T>(path: string, asked: Asked): Promise<Answer<T>>
  /** The same for bytes (an evidence bag), as a file of the name that the workshop gives it. */
  askBytes(path: string, question?: unknown): Promise<Answer<File>>
}
