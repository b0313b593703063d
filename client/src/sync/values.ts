/** Private values and photos that others wrote: brought for the work at hand, or when a screen asks. */
import type { EntryOf } from '../ledger/entry'
import { blobId } from '../ledger/private'
import type { PhoneStore } from '../store'
import type { Api } from './api'
import { Refused } from './errors'

/** So many questions to the workshop at once. */
const AT_ONCE = 4

export class Values {
  constructor(
    private readonly api: Api,
    private readonly store: PhoneStore,
  ) {}

  /** Names of people for everybody; for a mechanic also all words of open jobs: the bay has no signal. */
  async pull(): Promise<void> {
    const isMechanic = this.store.device.value?.role === 'mechanic'
    const jobs = isMechanic ? await this.store.ledger.openJobs() : []
    const missing = await this.store.values.missing(['person.named'], jobs)
    const bring = async () => {
      for (let blob = missing.pop(); blob !== undefined; blob = missing.pop()) await this.bring(blob)
    }
    await Promise.all(Array.from({ length: AT_ONCE }, bring))
  }

  /** Fetch one private value; false when the workshop has it no more, or not for this device. */
  async bring(blob: string): Promise<boolean> {
    const bytes = await this.blob(blob)
    if (bytes) await this.store.values.keep(blob, new TextDecoder().decode(bytes.bytes))
    return bytes !== null
  }

  /** Bytes that hash to their name, or null. */
  async blob(sha: string): Promise<{ bytes: ArrayBuffer; type: string } | null> {
    try {
      const got = await this.api.bytes(`/api/blobs/${sha}`)
      return (await blobId(new Uint8Array(got.bytes))) === sha ? got : null
    } catch (error) {
      if (error instanceof Refused && error.status < 500 && error.status !== 401) return null
      throw error
    }
  }

  /** The name of a person, as last stated. */
  async nameOf(person: string): Promise<string> {
    const stated = (await this.store.ledger.statements(['person.named'])).map(({ entry }) => entry)
    const named = stated.filter((entry) => entry.kind === 'person.named' && entry.body.person === person)
    const ref = (named.at(-1) as EntryOf<'person.named'> | undefined)?.body.name
    return (ref && (await this.store.secretValue(ref))) ?? ''
  }
}
