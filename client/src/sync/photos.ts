/**
 * Photos go up by tus 1.0.0, named by their hash: a broken upload goes on where it stopped, and
 * one that the workshop already has costs one request. Sent is not kept: that takes a receipt.
 */
import type { PhoneStore, PhotoRow } from '../store'
import { blobId } from '../ledger/private'
import type { Api } from './api'
import { Offline, Refused } from './errors'
import type { Ledger, Proven, SentRecord } from './pull'

/** What a poor line moves before the patience of one request is over. */
const PIECE_BYTES = 2 * 2 ** 20
const TUS = { 'Tus-Resumable': '1.0.0' }

type PhotoReceipt = SentRecord & Proven

export class Photos {
  constructor(
    private readonly api: Api,
    private readonly store: PhoneStore,
    private readonly ledger: Ledger,
  ) {}

  /** Send what waits, one after the other. `onBytes` hears each piece, `onSent` each photo. */
  async push(withRefused: boolean, onBytes: (bytes: number) => void, onSent: () => void): Promise<void> {
    for (const row of await this.store.post.waitingPhotos(withRefused)) {
      await this.#send(row, onBytes)
      onSent()
    }
  }

  async #send(row: PhotoRow, onBytes: (bytes: number) => void): Promise<void> {
    const bytes = await this.store.post.photoBytes(row.blob)
    if (!bytes || (await blobId(new Uint8Array(bytes))) !== row.blob) {
      await this.store.post.refusePhoto(row.blob, damaged)
      return
    }
    try {
      await this.#upload(row, bytes, onBytes)
      await this.#receipt(row.blob)
    } catch (error) {
      if (!(error instanceof Refused) || ![400, 410, 413, 415].includes(error.status)) throw error
      await this.store.post.refusePhoto(row.blob, error.trouble)
    }
  }

  async #upload(row: PhotoRow, bytes: ArrayBuffer, onBytes: (bytes: number) => void): Promise<void> {
    // Beginning anew also says how far an earlier attempt came.
    const begun = await this.api.answer('/api/uploads', {
      method: 'POST',
      headers: { ...TUS, 'Upload-Length': String(row.size), 'Upload-Metadata': `sha256 ${btoa(row.blob)}` },
    })
    let offset = offsetOf(begun, row.size)
    onBytes(offset)
    while (offset < row.size) {
      const piece = bytes.slice(offset, offset + PIECE_BYTES)
      const answer = await this.api.answer(`/api/uploads/${row.blob}`, {
        method: 'PATCH',
        headers: { ...TUS, 'Upload-Offset': String(offset), 'Content-Type': 'application/offset+octet-stream' },
        body: piece,
      })
      const reached = offsetOf(answer, row.size)
      if (reached <= offset) throw new Offline('the upload does not go on')
      onBytes(reached - offset)
      offset = reached
    }
  }

  async #receipt(blob: string): Promise<void> {
    const answer = await this.api.json<PhotoReceipt>(`/api/blobs/${blob}/receipt`)
    const head = await this.ledger.prove(answer, [answer])
    const kept = await this.ledger.keptBlobs([answer])
    if (!kept.some((one) => one.blob === blob)) throw new Offline('the receipt names another photo')
    const seen = await this.ledger.seenWith(answer.checkpoint, head)
    await this.store.post.receive({ indices: {}, kept, refused: [], seen })
  }
}

const damaged = {
  code: 'photo-damaged',
  message: 'The storage of this phone has damaged a photo.',
  hint: 'Take the photo again. The damaged one is not sent.',
}

/** The offset a tus answer names; a page of somebody else's names none. */
function offsetOf(answer: Response, length: number): number {
  const text = answer.headers.get('Upload-Offset') ?? ''
  const offset = /^\d{1,15}$/.test(text) ? Number(text) : NaN
  if (answer.headers.get('Tus-Resumable') !== '1.0.0' || !(offset >= 0 && offset <= length)) {
    throw new Offline('the answer to an upload is not the workshop’s')
  }
  return offset
}
