/** Signing in: silently, whenever the workshop no longer knows the cookie. */
import type { NonceAnswer } from '../ledger/answers'
import { encode } from '../ledger/base64url'
import { sessionMessage, sign } from '../ledger/keys'
import type { PhoneStore } from '../store'
import type { Api } from './api'
import { Offline, Refused, sealingOf } from './errors'
import { askIn, ownEnrolment } from './receipt'

const isRefused = (error: unknown, code: string) => error instanceof Refused && error.trouble.code === code

export class Session {
  #signingIn: Promise<void> | null = null
  /** The device that has signed in since the app was opened. */
  #signedIn: string | null = null

  constructor(
    private readonly api: Api,
    private readonly store: PhoneStore,
  ) {}

  /**
   * Do what needs a session; without one, or with an old one, sign in and do it again. Who is told that it was
   * withdrawn or shut out may have the session of the device that it was before.
   */
  async with<T>(act: () => Promise<T>): Promise<T> {
    try {
      return await act()
    } catch (error) {
      const isAnothers = sealingOf(error) !== undefined && this.#signedIn !== this.store.device.value?.id
      if (!isAnothers && !isRefused(error, 'not-signed-in')) throw error
    }
    await this.open()
    return act()
  }

  /** Sign in. Requests side by side share one signing in. */
  open(): Promise<void> {
    this.#signingIn ??= this.#signIn().finally(() => {
      this.#signingIn = null
    })
    return this.#signingIn
  }

  /** Until it is signed in as who it is: it may be enrolled anew while its former self is signing in. */
  async #signIn(): Promise<void> {
    do {
      const device = this.store.device.value?.id ?? null
      await this.#signInOnce()
      this.#signedIn = device
    } while (this.#signedIn !== this.store.device.value?.id)
  }

  /** End the session, if there is one. */
  async end(): Promise<void> {
    await this.api.answer('/api/session', { method: 'DELETE' })
    this.#signedIn = null
  }

  async #signInOnce(): Promise<void> {
    try {
      await this.#challenge()
    } catch (error) {
      if (!isRefused(error, 'unknown-device')) throw error
      const line = await ownEnrolment(this.store)
      if (line === null) throw error
      await this.#comeBack(line)
      await this.#challenge()
    }
  }

  /** Put back to a backup from before this phone came in: its own enrolment lets it in again, and its receipt the invitation. */
  async #comeBack(line: string): Promise<void> {
    const receipt = this.store.device.value?.receipt
    try {
      await askIn(this.api, { line, ...(receipt ? { receipt } : {}) })
    } catch (error) {
      // A workshop of before knows no receipt.
      if (!receipt || !isRefused(error, 'invalid')) throw error
      await askIn(this.api, { line })
    }
  }

  async #challenge(): Promise<void> {
    const device = this.store.device.value
    if (!device?.secret) throw new Offline('this phone belongs to no workshop now')
    const said = { method: 'POST', json: { device: device.id }, members: ['nonce'] }
    const { nonce } = await this.api.json<NonceAnswer>('/api/session/nonce', said)
    const message = sessionMessage({ device: device.id, nonce, workshop: device.workshop })
    const key = { key: device.key, thumbprint: device.id, secret: device.secret }
    const signature = encode(await sign(key, message))
    await this.api.json('/api/session', { method: 'POST', json: { device: device.id, nonce, signature } })
  }
}
