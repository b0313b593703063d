/** The disk itself: runs in a worker, because only there a file can be flushed. */
import { blobId } from '../ledger/private'
import {
  isNotFound,
  writeWithMargin,
  type Disk,
  type FileIn,
  type Folder,
  type JournalFound,
  type JournalRead,
} from './disk'
import { ReadBackDiffers } from './errors'
import { fileIn, Journal, readJournals } from './journal'

const BALLAST = 'ballast'
const CREATE = { create: true }
export const BALLAST_BYTES = 8 * 2 ** 20
/** `getRandomValues` gives no more at once. */
const RANDOM_BYTES = 65_536
/** Where a photo is written before it has its name. */
const SCRATCH = 'scratch'
const PHOTO = /^[0-9a-f]{64}$/

export class Files implements Disk {
  #journal: Journal | null = null
  #places: Promise<{ folder: Folder; pictures: Folder }> | null = null

  constructor(
    private readonly root: () => Promise<Folder>,
    private readonly name: string,
  ) {}

  async openJournal(): Promise<JournalFound> {
    await this.close()
    this.#places = null // the browser may have thrown the old ones away
    const { folder, pictures } = await this.#in()
    const read = await readJournals(folder)
    try {
      // Files that are needed on a full disk are there before it is full: a name takes room, too.
      await folder.getFileHandle(BALLAST, CREATE)
      await empty(await pictures.getFileHandle(SCRATCH, CREATE))
      this.#journal = await Journal.open(folder, read)
    } catch (error) {
      if (!(error instanceof DOMException)) throw error
    }
    return { acts: read.acts, damaged: read.damaged, bytes: read.bytes, isHeld: this.#journal !== null }
  }

  async readJournal(): Promise<JournalRead> {
    return readJournals((await this.#in()).folder)
  }

  async append(act: string): Promise<void> {
    this.#open().append(act)
  }

  async takeBack(): Promise<void> {
    this.#open().takeBack()
  }

  rewrite(acts: string[]): Promise<void> {
    return this.#open().rewrite(acts)
  }

  async putPhoto(blob: string, bytes: ArrayBuffer): Promise<void> {
    const { pictures } = await this.#in()
    if ((await hashIn(pictures, blob)) === blob) return
    const scratch = await pictures.getFileHandle(SCRATCH, CREATE)
    await fill(scratch, new Uint8Array(bytes))
    if ((await hashIn(pictures, SCRATCH)) !== blob) throw new ReadBackDiffers()
    await remove(pictures, blob) // damaged, or it would have been found above
    await scratch.move(blob)
    await pictures.getFileHandle(SCRATCH, CREATE)
  }

  async photo(blob: string): Promise<ArrayBuffer | null> {
    return (await (await fileIn((await this.#in()).pictures, blob))?.arrayBuffer()) ?? null
  }

  async photos(): Promise<string[]> {
    const names: string[] = []
    for await (const name of (await this.#in()).pictures.keys()) if (PHOTO.test(name)) names.push(name)
    return names
  }

  async removePhoto(blob: string): Promise<void> {
    await remove((await this.#in()).pictures, blob)
  }

  async makeBallast(): Promise<boolean> {
    const ballast = await (await this.#in()).folder.getFileHandle(BALLAST, CREATE)
    if ((await ballast.getFile()).size === BALLAST_BYTES) return true
    return fits(fill(ballast, random(BALLAST_BYTES)))
  }

  /** Emptied and not removed: a full disk may have no room to note that a name is gone. */
  async dropBallast(): Promise<boolean> {
    const ballast = await (await this.#in()).folder.getFileHandle(BALLAST, CREATE)
    if ((await ballast.getFile()).size === 0) return false
    await empty(ballast)
    return true
  }

  async hasRoom(bytes: number): Promise<boolean> {
    const scratch = await (await this.#in()).pictures.getFileHandle(SCRATCH, CREATE)
    const has = await fits(fill(scratch, random(bytes)))
    await empty(scratch)
    return has
  }

  async close(): Promise<void> {
    this.#journal?.close()
    this.#journal = null
  }

  #in(): Promise<{ folder: Folder; pictures: Folder }> {
    this.#places ??= (async () => {
      const folder = await (await this.root()).getDirectoryHandle(this.name, { create: true })
      return { folder, pictures: await folder.getDirectoryHandle('photos', { create: true }) }
    })()
    return this.#places
  }

  #open(): Journal {
    if (!this.#journal) throw new DOMException('the journal is not open', 'InvalidStateError')
    return this.#journal
  }
}

/** Written and flushed with room to spare, or left as long as it was cut to. */
async function fill(file: FileIn, bytes: Uint8Array<ArrayBuffer>): Promise<void> {
  const open = await file.createSyncAccessHandle()
  try {
    open.truncate(0)
    writeWithMargin(open, bytes, 0)
    open.flush()
  } catch (error) {
    open.truncate(0)
    throw error
  } finally {
    open.close()
  }
}

async function empty(file: FileIn): Promise<void> {
  const open = await file.createSyncAccessHandle()
  try {
    open.truncate(0)
    open.flush()
  } finally {
    open.close()
  }
}

/** By chance, or a disk that packs would give no room back. */
function random(size: number): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(size)
  for (let at = 0; at < size; at += RANDOM_BYTES)
    crypto.getRandomValues(bytes.subarray(at, Math.min(size, at + RANDOM_BYTES)))
  return bytes
}

async function fits(writing: Promise<void>): Promise<boolean> {
  try {
    await writing
    return true
  } catch (error) {
    if (error instanceof DOMException && error.name === 'QuotaExceededError') return false
    throw error
  }
}

async function remove(folder: Folder, name: string): Promise<boolean> {
  try {
    await folder.removeEntry(name)
    return true
  } catch (error) {
    if (isNotFound(error)) return false
    throw error
  }
}

async function hashIn(folder: Folder, name: string): Promise<string | null> {
  const bytes = await (await fileIn(folder, name))?.arrayBuffer()
  return bytes ? blobId(new Uint8Array(bytes)) : null
}
