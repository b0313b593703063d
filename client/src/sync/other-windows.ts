/** Windows of one browser: the first alone may write. What another one lacks it has the first bring, and reads it then. */
import type { Ref } from '../ledger/bodies'
import { secondTab } from '../store'
import type { Answer, Sync } from './types'

/** What one window may ask of another. */
type Brings = Pick<Sync, 'bringJobs' | 'value'>

interface Asked {
  asks: string
  call: keyof Brings
  of: unknown
}
interface Told {
  tells: string
  found: unknown
}

/** A workshop may take its time, and a window that was put to sleep never answers. */
const PATIENCE_MS = 20_000

export class OtherWindows implements Brings {
  readonly #waiting = new Map<string, (found: unknown) => void>()

  /** @param first this window, for as long as it is the first; null while another one is */
  constructor(
    private readonly channel: BroadcastChannel,
    private readonly first: () => Brings | null,
  ) {
    channel.onmessage = ({ data }: MessageEvent<Asked | Told>) => {
      if ('tells' in data) this.#waiting.get(data.tells)?.(data.found)
      else void this.#answer(data)
    }
  }

  bringJobs(jobs: readonly string[]): Promise<Answer<null>> {
    return this.#ask('bringJobs', jobs, { ok: false, trouble: secondTab })
  }

  value(ref: Ref): Promise<string | null> {
    return this.#ask('value', ref, null)
  }

  /** @param unheard what is told where no window answers */
  async #ask<T>(call: keyof Brings, of: unknown, unheard: T): Promise<T> {
    const asks = crypto.randomUUID()
    const found = await new Promise<unknown>((tell) => {
      const patience = setTimeout(() => tell(unheard), PATIENCE_MS)
      this.#waiting.set(asks, (it) => {
        clearTimeout(patience)
        tell(it)
      })
      this.channel.postMessage({ asks, call, of } satisfies Asked)
    })
    this.#waiting.delete(asks)
    return found as T
  }

  async #answer({ asks, call, of }: Asked): Promise<void> {
    const first = this.first()
    if (!first) return
    const found = await (call === 'value' ? first.value(of as Ref) : first.bringJobs(of as string[]))
    this.channel.postMessage({ tells: asks, found } satisfies Told)
  }
}
