/**
 * The journal: every act of this phone once more, in a file that is only appended to.
 *
 * Files are numbered. A new one is written whole and flushed before the old one goes, so at every
 * moment one of them is whole; where two are found, both are read: acts are told apart by their entries.
 */
import { isNotFound, writeWhole, writeWithMargin, type Folder, type JournalFound, type SyncFile } from './disk'
import { frameOf, readFrames } from './frames'

const NAME = /^journal-(\d{1,9})$/
/** A tab that was closed this moment may hold the file a little longer than its lock. */
const PATIENCE_MS = 5_000
const PAUSE_MS = 50

export class Journal {
  #file: SyncFile
  #number: number
  #size = 0
  /** Where the last act begins; null when there is none to take back. */
  #last: number | null = null

  private constructor(
    private readonly folder: Folder,
    file: SyncFile,
    number: number,
  ) {
    this.#file = file
    this.#number = number
  }

  static async open(folder: Folder): Promise<{ journal: Journal; found: JournalFound }> {
    const numbers = await numbersIn(folder)
    const newest = numbers.pop() ?? 1
    const older: string[] = []
    let damaged = 0
    for (const number of numbers) {
      const left = readFrames(await bytesOf(folder, nameOf(number)))
      older.push(...left.texts)
      damaged += left.damaged
    }
    const journal = new Journal(folder, await held(folder, nameOf(newest)), newest)
    const read = journal.#readThrough()
    const acts = [...new Set([...older, ...read.texts])]
    if (numbers.length) await journal.rewrite(acts)
    return { journal, found: { acts, damaged: damaged + read.damaged, bytes: journal.#size } }
  }

  append(text: string): void {
    const frame = frameOf(text)
    try {
      writeWithMargin(this.#file, frame, this.#size)
      this.#file.flush()
    } catch (error) {
      this.#cutTo(this.#size)
      throw error
    }
    this.#last = this.#size
    this.#size += frame.length
  }

  takeBack(): void {
    if (this.#last === null) return
    this.#cutTo(this.#last)
    this.#size = this.#last
    this.#last = null
  }

  async rewrite(texts: string[]): Promise<void> {
    const number = this.#number + 1
    const file = await held(this.folder, nameOf(number))
    let size = 0
    try {
      file.truncate(0)
      for (const text of texts) {
        const frame = frameOf(text)
        writeWhole(file, frame, size)
        size += frame.length
      }
      file.flush()
    } catch (error) {
      file.close()
      await this.folder.removeEntry(nameOf(number))
      throw error
    }
    this.#file.close()
    for (const old of await numbersIn(this.folder)) if (old !== number) await this.folder.removeEntry(nameOf(old))
    this.#file = file
    this.#number = number
    this.#size = size
    this.#last = null
  }

  close(): void {
    this.#file.close()
  }

  #readThrough() {
    const bytes = new Uint8Array(this.#file.getSize())
    const count = this.#file.read(bytes, { at: 0 })
    const read = readFrames(bytes.subarray(0, count))
    this.#size = read.end
    if (this.#file.getSize() > read.end) this.#cutTo(read.end)
    return read
  }

  /** What lies behind a torn frame would be swallowed by it. */
  #cutTo(size: number): void {
    this.#file.truncate(size)
    this.#file.flush()
  }
}

const nameOf = (number: number) => `journal-${number}`

async function numbersIn(folder: Folder): Promise<number[]> {
  const numbers: number[] = []
  for await (const name of folder.keys()) {
    const [, digits] = NAME.exec(name) ?? []
    if (digits) numbers.push(Number(digits))
  }
  return numbers.sort((one, other) => one - other)
}

async function bytesOf(folder: Folder, name: string): Promise<Uint8Array> {
  return new Uint8Array(await (await (await folder.getFileHandle(name)).getFile()).arrayBuffer())
}

async function held(folder: Folder, name: string): Promise<SyncFile> {
  const file = await folder.getFileHandle(name, { create: true })
  for (let waited = 0; ; waited += PAUSE_MS) {
    try {
      return await file.createSyncAccessHandle()
    } catch (error) {
      const isHeld = error instanceof DOMException && error.name === 'NoModificationAllowedError'
      if (!isHeld || waited >= PATIENCE_MS) throw error
      await new Promise((resolve) => setTimeout(resolve, PAUSE_MS))
    }
  }
}

/** Null when it is not there. */
export async function fileIn(folder: Folder, name: string): Promise<Blob | null> {
  try {
    return await (await folder.getFileHandle(name)).getFile()
  } catch (error) {
    if (isNotFound(error)) return null
    throw error
  }
}
