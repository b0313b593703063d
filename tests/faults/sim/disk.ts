/**
 * A phone's files: what was written, what of it was flushed, and how much room there is.
 *
 * A killed browser loses no byte that it had written; a phone whose battery went loses what was not
 * flushed, to a place that chance picks. The store's own code (`files.ts`, `journal.ts`) runs on it.
 */
import type { FileIn, Folder, SyncFile } from '@client/store/disk'
import type { Chance } from './chance'

/** What a window does passes here: false once it is dead, and then nothing of it happens any more. */
export interface Gate {
  pass(what: string): boolean
}

export const never = <T>() => new Promise<T>(() => undefined)

/** Of the margin that is written and cut off again, and of the ballast, only the length is kept. */
const MARGIN_BYTES = 512 * 1024
const HOLLOW_BYTES = 6 * 2 ** 20

export class SimDisk {
  room = Infinity
  readonly root = new Map<string, SimFile | Map<string, SimFile>>()
  /** The next so many writes throw; what they say. */
  failing: { left: number; name: string } | null = null
  /** So many times a journal cannot be read. */
  unreadable = 0
  /** Told when the bytes of a photo go. */
  onRemoved: (name: string) => void = () => undefined

  /** What lies on this disk, also on another; nothing is held there. */
  copyTo(other: SimDisk): void {
    for (const [name, held] of this.root)
      other.root.set(
        name,
        held instanceof Map ? new Map([...held].map(([each, file]) => [each, file.copy()])) : held.copy(),
      )
    other.room = this.room
    other.failing = this.failing && { ...this.failing }
    other.unreadable = this.unreadable
  }

  folder(path: string): Map<string, SimFile> {
    const found = this.root.get(path)
    if (found instanceof Map) return found
    const made = new Map<string, SimFile>()
    this.root.set(path, made)
    return made
  }

  files(): SimFile[] {
    return [...this.root.values()].flatMap((folder) => (folder instanceof Map ? [...folder.values()] : []))
  }

  letGo(): void {
    for (const file of this.files()) file.isHeld = false
  }

  /** The window is gone, and its journal is still held. */
  holdOn(): () => void {
    const held = this.journals
    for (const file of held) file.isHeld = true
    return () => {
      for (const file of held) file.isHeld = false
    }
  }

  /** The battery went. */
  darken(chance: Chance): void {
    for (const file of this.files()) file.darken(chance)
  }

  get journals(): SimFile[] {
    return [...this.folder('two-turns')]
      .filter(([name]) => name.startsWith('journal-'))
      .map(([, file]) => file)
  }

  get photos(): Map<string, SimFile> {
    return new Map([...this.folder('two-turns/photos')].filter(([name]) => name.length === 64))
  }
}

const NOTHING = new Uint8Array(0)

export class SimFile {
  #bytes = NOTHING
  #length = 0
  /** As it was when it was last flushed; null while nothing was written since. */
  #before: Uint8Array | null = null
  #isShared = false
  isHeld = false

  get bytes(): Uint8Array<ArrayBuffer> {
    return this.#bytes.slice(0, Math.min(this.#length, this.#bytes.length))
  }

  set bytes(bytes: Uint8Array) {
    this.#bytes = new Uint8Array(bytes)
    this.#isShared = false
    this.#length = bytes.length
    this.#before = null
  }

  /** What is sure to be there if the battery goes this moment. */
  get flushed(): Uint8Array {
    return this.#before ?? this.bytes
  }

  get length(): number {
    return this.#length
  }

  /** The bytes are shared until one of the two is written. */
  copy(): SimFile {
    const copy = new SimFile()
    this.#isShared = copy.#isShared = true
    copy.#bytes = this.#bytes
    copy.#length = this.#length
    copy.#before = this.#before
    return copy
  }

  write(bytes: Uint8Array, at: number): void {
    this.#before ??= this.bytes
    const end = at + bytes.length
    const isHollow = bytes.length === MARGIN_BYTES || bytes.length >= HOLLOW_BYTES
    if (!isHollow && (end > this.#bytes.length || this.#isShared)) {
      const grown = new Uint8Array(
        end > this.#bytes.length ? Math.max(end, this.#bytes.length * 2) : this.#bytes.length,
      )
      grown.set(this.#bytes.subarray(0, Math.min(this.#length, this.#bytes.length)))
      this.#bytes = grown
      this.#isShared = false
    }
    if (!isHollow) this.#bytes.set(bytes, at)
    this.#length = Math.max(this.#length, end)
  }

  truncate(size: number): void {
    if (size === this.#length) return
    this.#before ??= this.bytes
    this.#length = size
  }

  flush(): void {
    this.#before = null
  }

  darken(chance: Chance): void {
    const before = this.#before
    if (!before) return
    const now = this.bytes
    const cut = chance.whole(0, now.length)
    const left = new Uint8Array(Math.max(cut, before.length))
    left.set(before)
    left.set(now.subarray(0, cut))
    this.bytes = left
  }
}

/** The folders as one window has them. */
export class SimFolder implements Folder {
  constructor(
    private readonly disk: SimDisk,
    private readonly gate: Gate,
    private readonly path = '',
  ) {}

  get #files(): Map<string, SimFile> {
    return this.disk.folder(this.path)
  }

  async getFileHandle(name: string, options?: { create: boolean }): Promise<FileIn> {
    if (!this.gate.pass(`open ${name}`)) return never()
    const files = this.#files
    const file = files.get(name) ?? (options?.create ? new SimFile() : null)
    if (!file) throw new DOMException(name, 'NotFoundError')
    files.set(name, file)
    return new SimHandle(this.disk, this.gate, files, name, file)
  }

  async getDirectoryHandle(name: string): Promise<Folder> {
    return new SimFolder(this.disk, this.gate, this.path ? `${this.path}/${name}` : name)
  }

  async removeEntry(name: string): Promise<void> {
    if (!this.gate.pass(`remove ${name}`)) return never()
    const file = this.#files.get(name)
    if (!file) throw new DOMException(name, 'NotFoundError')
    if (file.isHeld) throw new DOMException(name, 'NoModificationAllowedError')
    this.disk.onRemoved(name)
    this.#files.delete(name)
    this.disk.room += file.length
  }

  async *keys(): AsyncIterable<string> {
    if (!this.gate.pass('list')) await never()
    yield* [...this.#files.keys()]
  }
}

class SimHandle implements FileIn {
  constructor(
    private readonly disk: SimDisk,
    private readonly gate: Gate,
    private readonly files: Map<string, SimFile>,
    private name: string,
    private readonly file: SimFile,
  ) {}

  async createSyncAccessHandle(): Promise<SyncFile> {
    if (!this.gate.pass(`hold ${this.name}`)) return never()
    if (this.file.isHeld) throw new DOMException(this.name, 'NoModificationAllowedError')
    this.file.isHeld = true
    return new SimSync(this.disk, this.gate, this.name, this.file)
  }

  async getFile(): Promise<Blob> {
    const { disk, file } = this
    if (this.name.startsWith('journal-') && disk.unreadable > 0) {
      disk.unreadable -= 1
      throw new DOMException('the disk fails', 'NotReadableError')
    }
    return { size: file.length, arrayBuffer: async () => file.bytes.buffer } as Blob
  }

  async move(name: string): Promise<void> {
    if (!this.gate.pass(`name ${this.name}`)) return never()
    this.files.delete(this.name)
    this.name = name
    this.files.set(name, this.file)
  }
}

class SimSync implements SyncFile {
  #isMine = true

  constructor(
    private readonly disk: SimDisk,
    private readonly gate: Gate,
    private readonly name: string,
    private readonly file: SimFile,
  ) {}

  write(bytes: Uint8Array, { at }: { at: number }): number {
    if (!this.#goesOn('write')) return bytes.length
    this.#fail()
    const wanted = Math.max(0, at + bytes.length - this.file.length)
    const count = Math.min(bytes.length, bytes.length - Math.max(0, wanted - Math.max(0, this.disk.room)))
    this.disk.room -= Math.max(0, at + count - this.file.length)
    this.file.write(bytes.subarray(0, count), at)
    return count
  }

  truncate(size: number): void {
    if (!this.#goesOn('truncate')) return
    this.#fail()
    this.disk.room += Math.max(0, this.file.length - size)
    this.file.truncate(size)
  }

  flush(): void {
    if (!this.#goesOn('flush')) return
    this.#fail()
    this.file.flush()
  }

  getSize(): number {
    return this.file.length
  }

  close(): void {
    if (this.#isMine) this.file.isHeld = false
    this.#isMine = false
  }

  /** What a dead window still tries has no effect; its file may be another window's by now. */
  #goesOn(what: string): boolean {
    return this.gate.pass(`${what} ${this.name}`)
  }

  #fail(): void {
    const { failing } = this.disk
    if (!failing) return
    if (--failing.left <= 0) this.disk.failing = null
    throw new DOMException('the disk fails', failing.name)
  }
}
