/** The disk as the page sees it: every call goes to the worker and comes back. */
import type { Disk } from './disk'
import { ReadBackDiffers } from './errors'

export interface Asked {
  id: number
  call: keyof Disk
  args: unknown[]
}

export type Told = { id: number; value: unknown } | { id: number; failed: { name: string; message: string } }

const CALLS: readonly (keyof Disk)[] = [
  'readJournal',
  'openJournal',
  'append',
  'takeBack',
  'rewrite',
  'putPhoto',
  'photo',
  'photos',
  'removePhoto',
  'makeBallast',
  'dropBallast',
  'hasRoom',
  'close',
]

/** Counted while the page is awake: one that slept for an hour hears a single beat of it, and has not waited. */
const BEAT_MS = 1_000
/** What takes more beats than this has died: the screen must say so instead of waiting. */
const PATIENCE_BEATS = 30
/** Fewer: after a wipe the first worker may wait for files that are gone, and a second one does not. */
const OPENING_BEATS = 10

/** Null where the browser has no such place; then everything is kept in IndexedDB alone. */
export function browserDisk(name: string): Disk | null {
  const has =
    typeof Worker !== 'undefined' &&
    'getDirectory' in (navigator.storage ?? {}) &&
    'move' in FileSystemFileHandle.prototype
  const make = () => new Worker(new URL('./disk.worker.ts', import.meta.url), { type: 'module', name })
  return has ? new RemoteDisk(make).calls : null
}

interface Call {
  resolve: (value: unknown) => void
  reject: (error: unknown) => void
  beat: ReturnType<typeof setInterval>
}

class RemoteDisk {
  readonly calls: Disk
  readonly #waiting = new Map<number, Call>()
  #worker: Worker | null = null
  #asked = 0

  constructor(private readonly make: () => Worker) {
    const ask =
      (call: keyof Disk) =>
      (...args: unknown[]) =>
        this.#ask(call, args)
    this.calls = Object.fromEntries(CALLS.map((call) => [call, ask(call)])) as unknown as Disk
  }

  #ask(call: keyof Disk, args: unknown[]): Promise<unknown> {
    // A file that was thrown away under its handle blocks the worker for ever: opening begins with a new one.
    if (call === 'openJournal') this.#end('the journal is opened anew')
    this.#worker ??= this.#begin()
    const worker = this.#worker
    return new Promise((resolve, reject) => {
      const id = ++this.#asked
      let left = call === 'openJournal' ? OPENING_BEATS : PATIENCE_BEATS
      const beat = setInterval(() => --left || this.#end(`no answer to ${call}`), BEAT_MS)
      this.#waiting.set(id, { resolve, reject, beat })
      worker.postMessage({ id, call, args } satisfies Asked)
    })
  }

  #begin(): Worker {
    const worker = this.make()
    worker.onmessage = ({ data }: MessageEvent<Told>) => this.#told(data)
    worker.onerror = (event) => this.#end(event.message || 'the worker did not start')
    return worker
  }

  #told(told: Told): void {
    const call = this.#waiting.get(told.id)
    if (!call) return
    this.#waiting.delete(told.id)
    clearInterval(call.beat)
    if ('failed' in told) call.reject(errorOf(told.failed))
    else call.resolve(told.value)
  }

  /** Its files are let go of; the next call has a new worker, and no journal until it is opened. */
  #end(why: string): void {
    this.#worker?.terminate()
    this.#worker = null
    for (const { reject, beat } of this.#waiting.values()) {
      clearInterval(beat)
      reject(new DOMException(why, 'InvalidStateError'))
    }
    this.#waiting.clear()
  }
}

const errorOf = ({ name, message }: { name: string; message: string }) =>
  name === 'ReadBackDiffers' ? new ReadBackDiffers() : new DOMException(message, name)
