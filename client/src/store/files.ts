/** The disk itself: runs in a worker, because only there a file can be flushed. */
import { blobId } from '../ledger/private'
import { isNotFound, writeWhole, type Disk, type Folder, type JournalFound } from './disk'
import { ReadBackDiffers } from './errors'
import { fileIn, Journal } from './journal'

const BALLAST = 'ballast'
export const BALLAST_BYTES = 8 * 2 ** 20
/** `getRandomValues` gives no more at once. */
const RANDOM_BYTES = 65_536
const UNFINISHED = '.new'

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
    for (const place of [folder, pictures]) await sweep(place)
    const { journal, found } = await Journal.open(folder)
    this.#journal = journal
    return found
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
    await put(pictures, blob, new Uint8Array(bytes), async (found) => {
      if ((await blobId(new Uint8Array(found))) !== blob) throw new ReadBackDiffers()
    })
  }

  async photo(blob: string): Promise<ArrayBuffer | null> {
    return (await (await fileIn((await this.#in()).pictures, blob))?.arrayBuffer()) ?? null
  }

  async photos(): Promise<string[]> {
    const names: string[] = []
    for await (const name of (await this.#in()).pictures.keys()) if (!name.endsWith(UNFINISHED)) names.push(name)
    return names
  }

  async removePhoto(blob: string): Promise<void> {
    await remove((await this.#in()).pictures, blob)
  }

  async makeBallast(): Promise<boolean> {
    const { folder } = await this.#in()
    if ((await fileIn(folder, BALLAST))?.size === BALLAST_BYTES) return true
    const bytes = new Uint8Array(BALLAST_BYTES) // by chance, or a disk that packs would give no room back
    for (let at = 0; at < bytes.length; at += RANDOM_BYTES) crypto.getRandomValues(bytes.subarray(at, at + RANDOM_BYTES))
    try {
      await put(folder, BALLAST, bytes, async () => undefined)
      return true
    } catch (error) {
      if (error instanceof DOMException && error.name === 'QuotaExceededError') return false
      throw error
    }
  }

  async dropBallast(): Promise<boolean> {
    return remove((await this.#in()).folder, BALLAST)
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

/** Under another name first: a file that has its name is whole. */
async function put(
  folder: Folder,
  name: string,
  bytes: Uint8Array<ArrayBuffer>,
  check: (found: ArrayBuffer) => Promise<void>,
): Promise<void> {
  const file = await folder.getFileHandle(name + UNFINISHED, { create: true })
  try {
    const open = await file.createSyncAccessHandle()
    try {
      open.truncate(0)
      writeWhole(open, bytes, 0)
      open.flush()
    } finally {
      open.close()
    }
    await check(await (await file.getFile()).arrayBuffer())
    await remove(folder, name)
    await file.move(name)
  } catch (error) {
    await remove(folder, name + UNFINISHED)
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

async function sweep(folder: Folder): Promise<void> {
  const left: string[] = []
  for await (const name of folder.keys()) if (name.endsWith(UNFINISHED)) left.push(name)
  for (const name of left) await remove(folder, name)
}

async function hashIn(folder: Folder, name: string): Promise<string | null> {
  const bytes = await (await fileIn(folder, name))?.arrayBuffer()
  return bytes ? blobId(new Uint8Array(bytes)) : null
}
