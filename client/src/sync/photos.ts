/**
 * Photos go up by tus 1.0.0, named by their hash: a broken upload goes on where it stopped, and
 * one that the workshop already has costs one request. Sent is not kept: that takes a receipt.
 */
import type { KeptAnswer } from '../ledger/answers'
import { troubleOf, type PhoneStore, type PhotoRow } from '../store'
import { blobId } from '../ledger/private'
import type { Api } from './api'
import { Offline, Refused } from './errors'
import { Portion } from './line'
import { Rewound, type Ledger } from './pull'
import type { Progress } from './types'
import { megabytes } from './sizes'
import * as words from '../words/en/sync/photos'
import { t } from '../words/message'

/** Small at first: what a poor line moves in half a minute. A good one soon takes the largest. */
const FIRST_PIECE_BYTES = 64 * 2 ** 10
const LEAST_PIECE_BYTES = 8 * 2 ** 10
const MOST_PIECE_BYTES = 2 * 2 ** 20
const TUS = { 'Tus-Resumable': '1.0.0' }

export class Photos {
  /** How far the uploads had come when they were last heard of: the same place again is no progress. */
  readonly #reached = new Map<string, number>()
  readonly #piece = new Portion(LEAST_PIECE_BYTES, MOST_PIECE_BYTES, FIRST_PIECE_BYTES)

  constructor(
    private readonly api: Api,
    private readonly store: PhoneStore,
    private readonly ledger: Ledger,
  ) {}

  /** Send what waits, one after the other. */
  async push(withRefused: boolean, progress: Progress): Promise<void> {
    const rows = await this.store.photos.waiting(withRefused)
    for (const [i, row] of rows.entries()) {
      let gone = 0
      const moved = (bytes: number) => {
        gone += bytes
        if (gone > (this.#reached.get(row.blob) ?? 0)) progress.gotOn()
        if (gone) this.#reached.set(row.blob, gone)
        progress.bytes(bytes)
        progress.now(
          t(words.photoProgress, {
            i: i + 1,
            rows: rows.length,
            gone: megabytes(gone),
            size: megabytes(row.size),
          }),
        )
      }
      moved(0)
      await this.#send(row, moved)
      this.#reached.delete(row.blob)
      progress.sent(1)
    }
  }

  async #send(row: PhotoRow, onBytes: (bytes: number) => void): Promise<void> {
    const bytes = await this.store.photos.bytes(row.blob)
    if (!bytes || (await blobId(new Uint8Array(bytes))) !== row.blob) {
      await this.store.photos.refuse(row.blob, damaged)
      return
    }
    try {
      await this.#upload(row, bytes, onBytes)
      await this.ledger.alone(() => this.#receipt(row.blob))
    } catch (error) {
      if (!(error instanceof Refused) || ![400, 410, 413, 415].includes(error.status)) throw error
      await this.store.photos.refuse(row.blob, error.trouble)
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
      const reached = await this.#piece.move((size) =>
        this.#patch(row, offset, bytes.slice(offset, offset + size)),
      )
      if (reached <= offset) throw new Offline('the upload does not go on')
      onBytes(reached - offset)
      offset = reached
    }
  }

  async #patch(row: PhotoRow, offset: number, piece: ArrayBuffer): Promise<number> {
    const answer = await this.api.answer(`/api/uploads/${row.blob}`, {
      method: 'PATCH',
      headers: { ...TUS, 'Upload-Offset': String(offset), 'Content-Type': 'application/offset+octet-stream' },
      body: piece,
    })
    return offsetOf(answer, row.size)
  }

  async #receipt(blob: string): Promise<void> {
    const answer = await this.api.json<KeptAnswer>(`/api/blobs/${blob}/receipt`, {
      members: ['index', 'record', 'checkpoint', 'rewound'],
    })
    if (answer.rewound) throw new Rewound()
    const head = await this.ledger.prove(answer, [answer])
    const kept = await this.ledger.keptBlobs([answer])
    if (!kept.some((one) => one.blob === blob)) throw new Offline('the receipt names another photo')
    const seen = await this.ledger.seenWith(answer.checkpoint, head)
    await this.store.ledger.receive({ indices: {}, kept, refused: [], seen })
  }
}

const damaged = troubleOf('photo-damaged', words.photoDamaged, words.photoDamagedHint)

/** The offset a tus answer names; a page of somebody else's names none. */
function offsetOf(answer: Response, length: number): number {
  const text = answer.headers.get('Upload-Offset') ?? ''
  const offset = /^\d{1,15}$/.test(text) ? Number(text) : NaN
  if (answer.headers.get('Tus-Resumable') !== '1.0.0' || !(offset >= 0 && offset <= length)) {
    throw new Offline('the answer to an upload is not the workshop’s')
  }
  return offset
}
