/** What `write` hands to the caller: it signs, links and numbers, and gathers the act to be kept. */
import type { Body, Kind, Ref } from '../ledger/bodies'
import { atOf, MAX_AFTER, signEntry, type Entry } from '../ledger/entry'
import { blobId, SALT_BYTES, writePrivate, type PrivateField } from '../ledger/private'
import type { Act } from './keep'
import type { PhotoFile } from './photo-files'
import type { Device, Writing } from './types'

export interface Surroundings {
  now: () => Date
  random: (bytes: number) => Uint8Array<ArrayBuffer>
  photoFile: (photo: Blob) => Promise<PhotoFile>
}

export class ActInWriting implements Writing {
  readonly #act: Act
  #heads: string[]
  #before: Promise<unknown> = Promise.resolve()

  constructor(
    private readonly job: string | null,
    private readonly device: Device & { secret: CryptoKey },
    private readonly around: Surroundings,
    start: { seq: number; heads: string[] },
  ) {
    this.#act = { seqBefore: start.seq, entries: [], values: [], photos: [] }
    this.#heads = start.heads
  }

  /** One after the other, also when the caller does not wait: each entry names the one before. */
  entry<K extends Kind>(kind: K, body: Body<K>): Promise<string> {
    const signed = this.#before.then(() => this.#sign(kind, body))
    this.#before = signed
    return signed
  }

  /** Everything asked for, once the last of it is signed. */
  async whole(): Promise<Act> {
    await this.#before
    return this.#act
  }

  async secret(field: PrivateField, value: string): Promise<Ref> {
    // A keyboard may compose letters in another way than the form that is signed.
    const bytes = writePrivate(field, value.normalize('NFC'), this.around.random(SALT_BYTES))
    const blob = await blobId(bytes)
    this.#act.values.push({ blob, text: new TextDecoder().decode(bytes), waiting: 1 })
    return { blob }
  }

  async photo(picture: Blob): Promise<string> {
    const { blob, bytes, thumb } = await this.around.photoFile(picture)
    const row = { blob, size: bytes.byteLength, type: picture.type, waiting: 1 as const }
    if (!this.#act.photos.some((photo) => photo.row.blob === blob))
      this.#act.photos.push({ row, bytes, thumb })
    return blob
  }

  async #sign<K extends Kind>(kind: K, body: Body<K>): Promise<string> {
    const entry = await signEntry(
      {
        workshop: this.device.workshop,
        job: this.job,
        person: this.device.person,
        seq: this.#act.seqBefore + this.#act.entries.length + 1,
        // Of more heads than an entry may name, the newest; the others stay heads.
        after: this.#heads.slice(-MAX_AFTER),
        at: atOf(this.around.now().getTime()),
        kind,
        body,
      },
      { key: this.device.key, thumbprint: this.device.id, secret: this.device.secret },
    )
    this.#heads = [...this.#heads.slice(0, -MAX_AFTER), entry.id]
    this.#act.entries.push(entry as Entry)
    return entry.id
  }
}
