/**
 * The phone's second place: the browser's origin-private file system, beside IndexedDB.
 *
 * It holds the journal of all acts, the bytes of photos under their hash, and the ballast: room
 * that is given up at the first failed write, so that what is small still goes in.
 */

/** What the journal holds. */
export interface JournalRead {
  /** The texts of all whole acts, in order. */
  acts: string[]
  /** Places where a whole act had been and is none any more. */
  damaged: number
  bytes: number
}

/** What opening the journal has shown. */
export interface JournalFound extends JournalRead {
  /** False when it could be read, and cannot be written to. */
  isHeld: boolean
}

/** Its full disk is a `QuotaExceededError`, as everywhere in a browser. */
export interface Disk {
  /** Read the journal through, whoever holds it. */
  readJournal(): Promise<JournalRead>
  /** The same, and hold it without a torn end: only one tab may. Rejects only when it cannot be read. */
  openJournal(): Promise<JournalFound>
  /** Resolves when the act is flushed. A short write is cut back before it is told. */
  append(act: string): Promise<void>
  /** The last act appended was not kept after all. */
  takeBack(): Promise<void>
  /** A new journal of these acts in place of the old one, which stays until the new one is whole. */
  rewrite(acts: string[]): Promise<void>
  /** Resolves when the bytes lie under their hash and were read back. */
  putPhoto(blob: string, bytes: ArrayBuffer): Promise<void>
  photo(blob: string): Promise<ArrayBuffer | null>
  photos(): Promise<string[]>
  removePhoto(blob: string): Promise<void>
  /** True when the ballast lies there, now or already; false when there is no room for it. */
  makeBallast(): Promise<boolean>
  /** True when there was one. */
  dropBallast(): Promise<boolean>
  /** True when so many bytes could be written just now. */
  hasRoom(bytes: number): Promise<boolean>
  close(): Promise<void>
}

/** As far as we use them: the file system's handles, whose synchronous half only a worker has. */
export interface SyncFile {
  write(bytes: Uint8Array<ArrayBuffer>, options: { at: number }): number
  truncate(size: number): void
  flush(): void
  getSize(): number
  close(): void
}

export interface FileIn {
  createSyncAccessHandle(): Promise<SyncFile>
  getFile(): Promise<Blob>
  move(name: string): Promise<void>
}

export interface Folder {
  getFileHandle(name: string, options?: { create: boolean }): Promise<FileIn>
  getDirectoryHandle(name: string, options?: { create: boolean }): Promise<Folder>
  removeEntry(name: string): Promise<void>
  keys(): AsyncIterable<string>
}

/**
 * Written behind what is to stay, and cut off before it is flushed: so a full disk shows here, and not in
 * what is written next. The names of files are in a database of the browser's, which must not meet one either.
 */
const MARGIN = new Uint8Array(512 * 1024)

export function writeWithMargin(file: SyncFile, bytes: Uint8Array<ArrayBuffer>, at: number): void {
  writeWhole(file, bytes, at)
  writeWhole(file, MARGIN, at + bytes.length)
  file.truncate(at + bytes.length)
}

/** A short count is a full disk: `write` says so by the count, and throws only the next time. */
export function writeWhole(file: SyncFile, bytes: Uint8Array<ArrayBuffer>, at: number): void {
  const count = file.write(bytes, { at })
  if (count !== bytes.length)
    throw new DOMException(`wrote ${count} of ${bytes.length} bytes`, 'QuotaExceededError')
}

export const isNotFound = (error: unknown) => error instanceof DOMException && error.name === 'NotFoundError'
