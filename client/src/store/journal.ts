/**
 * The journal: every act of this phone once more, in a file that is only appended to.
 *
 * Files are numbered. A new one is written whole and flushed before the old one goes, so at every
 * moment one of them is whole; where two are found, both are read: acts are told apart by their entries.
 * They are read without being held. One that a page which is gone still holds stays; the work goes on in the next number.
 */
import { isNotFound, writeWhole, writeWithMargin, type Folder, type JournalRead, type SyncFile } from './disk'
import { frameOf, readFrames } from './frames'

const NAME = /^journal-(\d{1,9})$/
/** A tab that was closed this moment may hold the file a little longer than its lock. */
const PATIENCE_MS = 1_000
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
    size: number,
  ) {
    this.#file = file
    this.#number = number
    this.#size = size
  }

  /** What was just read, to be gone on with. */
  static async open(folder: Folder, { acts, numbers, end }: Read): Promise<Journal> {
    const newest = numbers.at(-1) ?? 1
    const file = await heldSoon(folder, nameOf(newest))
    if (!file) return new Journal(folder, ...(await written(folder, newest + 1, acts)))
    const journal = new Journal(folder, file, newest, end)
    try {
      // What lies behind a torn frame would be swallowed by it.
      if (file.getSize() > end) journal.#cutTo(end)
    } catch (error) {
      journal.close()
      throw error
    }
    // Where there is no room for one of all, they stay as they are, and the newest is gone on with.
    if (numbers.length > 1) await journal.rewrite(acts).catch(() => undefined)
    return journal
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
    const [file, number, size] = await written(this.folder, this.#number + 1, texts)
    this.#file.close()
    this.#file = file
    this.#number = number
    this.#size = size
    this.#last = null
    for (const old of await numbersIn(this.folder))
      if (old !== number) await removeUnlessHeld(this.folder, nameOf(old))
  }

  close(): void {
    this.#file.close()
  }

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

/** Null when somebody else goes on holding it. */
async function heldSoon(folder: Folder, name: string): Promise<SyncFile | null> {
  const file = await folder.getFileHandle(name, { create: true })
  for (let waited = 0; waited <= PATIENCE_MS; waited += PAUSE_MS) {
    try {
      return await file.createSyncAccessHandle()
    } catch (error) {
      if (!isHeld(error)) throw error
      await new Promise((resolve) => setTimeout(resolve, PAUSE_MS))
    }
  }
  return null
}

/** A journal of these acts under a number that is free; whole, or not there. */
async function written(
  folder: Folder,
  number: number,
  texts: string[],
): Promise<[SyncFile, number, size: number]> {
  const name = nameOf(number)
  const file = await (await folder.getFileHandle(name, { create: true })).createSyncAccessHandle()
  let size = 0
  try {
    file.truncate(0)
    for (const text of texts) {
      const frame = frameOf(text)
      writeWhole(file, frame, size)
      size += frame.length
    }
    file.flush()
    return [file, number, size]
  } catch (error) {
    file.close()
    await folder.removeEntry(name)
    throw error
  }
}

/** One that stays is read again at the next start, and nothing in it counts twice. */
async function removeUnlessHeld(folder: Folder, name: string): Promise<void> {
  try {
    await folder.removeEntry(name)
  } catch (error) {
    if (!isHeld(error)) throw error
  }
}

const isHeld = (error: unknown) =>
  error instanceof DOMException && error.name === 'NoModificationAllowedError'

interface Read extends JournalRead {
  /** Of the files, ascending. */
  numbers: number[]
  /** Where the last whole frame of the newest ends. */
  end: number
}

/** Every journal that is there, the oldest first. */
export async function readJournals(folder: Folder): Promise<Read> {
  const numbers = await numbersIn(folder)
  const read: Read = { acts: [], damaged: 0, bytes: 0, numbers, end: 0 }
  const acts = new Set<string>()
  for (const number of numbers) {
    const { texts, damaged, end } = readFrames(await bytesOf(folder, nameOf(number)))
    for (const text of texts) acts.add(text)
    read.damaged += damaged
    read.bytes += end
    read.end = end
  }
  return { ...read, acts: [...acts] }
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
