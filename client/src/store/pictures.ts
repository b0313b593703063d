/** Photo bytes: files under their hash, and in IndexedDB where a browser has no place for files. */
import { blobId } from '../ledger/private'
import { mediaType } from '../trade/media'
import type { PhotoName } from './types'
import type { Database, PhotoRow } from './database'
import type { Disk } from './disk'
import { backedUp, noBackups } from './places'
import { single } from './singles'
import type { Thumbnail } from './thumbnail'

/** So long after the workshop has said that it keeps a photo its bytes may go, once it is backed up, too. */
const KEEP_MS = 30 * 86_400_000

export class Pictures {
  constructor(
    private readonly db: Database,
    private readonly disk: Disk | null,
    private readonly thumbnail: Thumbnail,
    private readonly now: () => Date,
  ) {}

  async bytes(blob: string): Promise<ArrayBuffer | null> {
    const inFile = await this.disk?.photo(blob)
    return inFile ?? (await this.db.read(['bytes'], (tx) => tx.objectStore('bytes').get(blob))) ?? null
  }

  /** What can be said of it by its bytes alone; nothing of one that is damaged. */
  async described(blob: string): Promise<PhotoName[]> {
    const bytes = new Uint8Array((await this.bytes(blob)) ?? [])
    if ((await blobId(bytes)) !== blob) return []
    return [{ blob, size: bytes.length, type: mediaType(bytes) ?? 'application/octet-stream' }]
  }

  /** Names of all photos whose bytes are here. */
  async here(): Promise<Set<string>> {
    const inBase = await this.db.read(['bytes'], (tx) => tx.objectStore('bytes').getAllKeys())
    return new Set([...inBase, ...((await this.disk?.photos()) ?? [])])
  }

  /** Photos that an older build kept in IndexedDB become files; each is there before its bytes are let go of. */
  async moveToFiles(): Promise<void> {
    const disk = this.disk
    if (!disk) return
    for (const blob of await this.db.read(['bytes'], (tx) => tx.objectStore('bytes').getAllKeys())) {
      const bytes = await this.db.read(['bytes'], (tx) => tx.objectStore('bytes').get(blob))
      // Damaged bytes stay where they are: sync tells of them, and a file under that name would be a lie.
      if (!bytes || (await blobId(new Uint8Array(bytes))) !== blob) continue
      await disk.putPhoto(blob, bytes)
      await this.db.change(['bytes'], (tx) => tx.objectStore('bytes').delete(blob))
    }
  }

  /**
   * Let go of bytes that the workshop has received and backed up: after thirty days, or at once,
   * oldest first, while `isShort` says that room is needed. The thumbnail stays.
   */
  async free(isShort: () => Promise<boolean>): Promise<void> {
    const [rows, backups] = await this.db.read(['photos', 'things'], (tx) =>
      Promise.all([tx.objectStore('photos').getAll(), single(tx, 'backups')]),
    )
    const now = this.now()
    const upTo = backedUp(backups ?? noBackups, now.toISOString())
    const longAgo = new Date(now.getTime() - KEEP_MS).toISOString()
    const free = rows.filter(
      (row) => row.kept !== undefined && row.kept < upTo && row.waiting === undefined && !row.freed,
    )
    for (const row of free.sort((one, other) => (one.kept ?? 0) - (other.kept ?? 0))) {
      if ((row.keptAt !== undefined && row.keptAt < longAgo) || (await isShort())) await this.#letGo(row)
    }
  }

  async thumb(blob: string): Promise<Blob | null> {
    const bytes = await this.db.read(['thumbs'], (tx) => tx.objectStore('thumbs').get(blob))
    return bytes ? new Blob([bytes], { type: 'image/jpeg' }) : null
  }

  /** As it was drawn when the photo was shot, or drawn now. */
  async #small({ blob, type }: PhotoRow, bytes: ArrayBuffer): Promise<ArrayBuffer | null> {
    const kept = await this.db.read(['thumbs'], (tx) => tx.objectStore('thumbs').get(blob))
    return kept ?? this.thumbnail(new Blob([bytes], { type }))
  }

  async #letGo(row: PhotoRow): Promise<void> {
    const bytes = await this.bytes(row.blob)
    const isPicture = row.type.startsWith('image/') // what an instrument saw has no small form
    const thumb = isPicture && bytes ? await this.#small(row, bytes) : null
    if (isPicture && !thumb) return // a picture that cannot be shown small stays as it is
    const isFree = await this.db.change(['photos', 'thumbs', 'bytes'], async (tx) => {
      // A round may have heard meanwhile that the workshop has it no more.
      if ((await tx.objectStore('photos').get(row.blob))?.kept !== row.kept) return false
      if (thumb) await tx.objectStore('thumbs').put(thumb, row.blob)
      await tx.objectStore('photos').put({ ...row, freed: 1 })
      await tx.objectStore('bytes').delete(row.blob)
      return true
    })
    if (isFree) await this.disk?.removePhoto(row.blob)
  }
}
