/** An origin-private file system in memory, with a disk that can be full and files that can be damaged. */
import type { FileIn, Folder, SyncFile } from '@client/store/disk'
import { Files } from '@client/store/files'

export class Disk {
  /** Bytes that still fit; beyond it a write is short, as in a browser. */
  room = Infinity
  /** The next so many writes throw. */
  failing: string | null = null
  readonly root = new MemoryFolder(this)
  files = this.fresh('phone')

  /** As the next start finds it: the same files, no handle held. */
  fresh(name: string): Files {
    this.root.letGo()
    this.files = new Files(async () => this.root, name)
    return this.files
  }

  /** The one journal there is. */
  get journal(): MemoryFile {
    const folder = this.root.folders.get('phone') as MemoryFolder
    const [journal, ...others] = [...folder.files]
      .filter(([name]) => name.startsWith('journal-'))
      .map(([, file]) => file)
    if (!journal || others.length) throw new Error(`${others.length + (journal ? 1 : 0)} journals`)
    return journal
  }

  get photos(): Map<string, MemoryFile> {
    const files = [...((this.root.folders.get('phone') as MemoryFolder).folders.get('photos')?.files ?? [])]
    return new Map(files.filter(([name]) => name !== 'scratch'))
  }
}

export class MemoryFolder implements Folder {
  readonly files = new Map<string, MemoryFile>()
  readonly folders = new Map<string, MemoryFolder>()

  constructor(readonly disk: Disk) {}

  async getFileHandle(name: string, options?: { create: boolean }): Promise<FileIn> {
    const file = this.files.get(name) ?? (options?.create ? new MemoryFile(this, name) : null)
    if (!file) throw new DOMException(name, 'NotFoundError')
    this.files.set(name, file)
    return file
  }

  async getDirectoryHandle(name: string): Promise<Folder> {
    const folder = this.folders.get(name) ?? new MemoryFolder(this.disk)
    this.folders.set(name, folder)
    return folder
  }

  async removeEntry(name: string): Promise<void> {
    const file = this.files.get(name)
    if (!file) throw new DOMException(name, 'NotFoundError')
    if (file.isHeld) throw new DOMException(name, 'NoModificationAllowedError')
    this.files.delete(name)
    this.disk.room += file.bytes.length
  }

  async *keys(): AsyncIterable<string> {
    yield* [...this.files.keys(), ...this.folders.keys()]
  }

  letGo(): void {
    for (const file of this.files.values()) file.isHeld = false
    for (const folder of this.folders.values()) folder.letGo()
  }
}

export class MemoryFile implements FileIn {
  bytes = new Uint8Array()
  isHeld = false

  constructor(
    private readonly folder: MemoryFolder,
    private name: string,
  ) {}

  async createSyncAccessHandle(): Promise<SyncFile> {
    if (this.isHeld) throw new DOMException(this.name, 'NoModificationAllowedError')
    this.isHeld = true
    return new MemoryHandle(this, this.folder.disk)
  }

  async getFile(): Promise<Blob> {
    return new Blob([this.bytes.slice()])
  }

  async move(name: string): Promise<void> {
    this.folder.files.delete(this.name)
    this.name = name
    this.folder.files.set(name, this)
  }
}

class MemoryHandle implements SyncFile {
  constructor(
    private readonly file: MemoryFile,
    private readonly disk: Disk,
  ) {}

  write(bytes: Uint8Array, { at }: { at: number }): number {
    if (this.disk.failing) throw new DOMException('the disk fails', this.disk.failing)
    const wanted = Math.max(0, at + bytes.length - this.file.bytes.length)
    const count = Math.min(bytes.length, bytes.length - Math.max(0, wanted - this.disk.room))
    const size = Math.max(this.file.bytes.length, at + count)
    this.disk.room -= size - this.file.bytes.length
    const grown = new Uint8Array(size)
    grown.set(this.file.bytes)
    grown.set(bytes.subarray(0, count), at)
    this.file.bytes = grown
    return count
  }

  truncate(size: number): void {
    if (this.disk.failing) throw new DOMException('the disk fails', this.disk.failing)
    this.disk.room += Math.max(0, this.file.bytes.length - size)
    const cut = new Uint8Array(size)
    cut.set(this.file.bytes.subarray(0, size))
    this.file.bytes = cut
  }

  flush(): void {}

  getSize(): number {
    return this.file.bytes.length
  }

  close(): void {
    this.file.isHeld = false
  }
}
