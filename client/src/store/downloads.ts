/** Downloads that are under way: a row a part, so that the next part does not write the ones before it again. */
import type { Changing, Database } from './database'
import type { Inside } from './inside'

/** What has come of bytes that are named by their hash, from the first on. */
export interface Half {
  bytes: Uint8Array<ArrayBuffer>
  /** Length of the whole; null while it is not known. */
  total: number | null
}

export interface HalfPart extends Half {
  from: number
}

const OFFSET_DIGITS = 10
const ofBlob = (blob: string) => IDBKeyRange.bound(`half ${blob} `, `half ${blob} \uffff`)
const OF_ALL = () => IDBKeyRange.bound('half ', 'half \uffff')

async function readHalf(db: Database, blob: string): Promise<Half | null> {
  const parts = (await db.read(['things'], (tx) =>
    tx.objectStore('things').getAll(ofBlob(blob)),
  )) as HalfPart[]
  const last = parts.at(-1)
  if (!last) return null
  return {
    bytes: new Uint8Array(await new Blob(parts.map(({ bytes }) => bytes)).arrayBuffer()),
    total: last.total,
  }
}

async function putPart(tx: Changing, blob: string, part: HalfPart): Promise<void> {
  await tx.objectStore('things').put(part, `half ${blob} ${String(part.from).padStart(OFFSET_DIGITS, '0')}`)
}

/** Of this blob; or of all, when nothing is under way any more. */
export async function dropHalves(tx: Changing, blob?: string): Promise<void> {
  await tx.objectStore('things').delete(blob === undefined ? OF_ALL() : ofBlob(blob))
}

/** What has come of downloads that are under way. */
export class Downloads {
  constructor(private readonly inside: Inside) {}

  /** What has come of a download that is under way. */
  half(blob: string): Promise<Half | null> {
    return readHalf(this.inside.db, blob)
  }

  async keepPart(blob: string, part: HalfPart): Promise<void> {
    await this.inside.db.change(['things'], (tx) => putPart(tx, blob, part))
  }

  async drop(blob: string): Promise<void> {
    await this.inside.db.change(['things'], (tx) => dropHalves(tx, blob))
  }
}
