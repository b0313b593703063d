/**
 * A draft while it is written: read once, kept in this browser at each change, written to the workshop some time after
 * the last one, and checked after that. Each writing names the version that was read, so that nobody's work is written
 * over; one goes out at a time, so that none is refused for the one before it.
 */
import type { CheckAnswer, DraftAnswer, ReportAnswer, VersionAnswer } from '../../ledger/answers'
import type { Trouble } from '../../store'
import type { Sync } from '../../sync/types'
import { forgetUnsent, keepUnsent, unsentOf } from '../../store/unsent-drafts'

export const QUIET_MS = 900
export const AGAIN_MS = 5000
const LOOK_MS = 400

export interface DraftNow {
  text: string
  pictures: DraftAnswer['pictures']
  /** Empty where the draft could not be read. */
  version: string
  /** Whether the workshop holds the text as it stands here. */
  isKept: boolean
  /** What the last check found; of an earlier version while the text is being changed. */
  report: ReportAnswer | null
  /** States gone through by the check that runs; null when none does. */
  checking: number | null
  trouble: Trouble | null
}

const NOTHING = { report: null, checking: null, trouble: null }

const pathOf = (name: string) => `/api/drafts/${name}`
export const readAs = (version: string) => ({ 'If-Match': `"${version}"` })
export const asNew = { 'If-None-Match': '*' }

export class WrittenDraft {
  now: DraftNow | null = null
  /** Texts that the workshop may hold by what is known here: as last read or written, and sent without an answer. */
  #known: string[] = []
  #quiet: ReturnType<typeof setTimeout> | undefined
  #looking: ReturnType<typeof setTimeout> | undefined
  #keeping: Promise<void> | null = null
  #isLeft = false

  constructor(
    private readonly sync: Pick<Sync, 'send'>,
    private readonly name: string,
    private readonly told: (now: DraftNow) => void,
  ) {}

  /** Read the draft; what this browser has of it that never got there is gone on with. */
  async read(): Promise<void> {
    const answer = await this.sync.send<DraftAnswer>(pathOf(this.name), {})
    if (!answer.ok) {
      return this.#become({
        ...NOTHING,
        text: '',
        pictures: [],
        version: '',
        isKept: true,
        trouble: answer.trouble,
      })
    }
    const unsent = unsentOf(this.name)
    const isUnsent = unsent !== null && unsent.text !== answer.value.text
    this.#known = isUnsent && unsent.version !== answer.value.version ? [] : [answer.value.text]
    if (!isUnsent) forgetUnsent(this.name)
    this.#become({ ...answer.value, ...NOTHING, ...(isUnsent ? unsent : {}), isKept: !isUnsent })
    if (isUnsent) await this.keep()
    else await this.check()
  }

  write(text: string): void {
    if (!this.now || text === this.now.text) return
    keepUnsent(this.name, { text, version: this.now.version })
    clearTimeout(this.#looking)
    this.#set({ text, isKept: false })
    this.#keepAfter(QUIET_MS)
  }

  /** Write at once what is not written yet. */
  keep(): Promise<void> {
    clearTimeout(this.#quiet)
    this.#keeping ??= this.#keepAll().finally(() => {
      this.#keeping = null
    })
    return this.#keeping
  }

  async #keepAll(): Promise<void> {
    while (this.now && !this.now.isKept) {
      const { text, version } = this.now
      const json = { text }
      this.#known.push(text)
      const asked = { method: 'PUT', json, headers: readAs(version) }
      const answer = await this.sync.send<VersionAnswer>(pathOf(this.name), asked)
      if (!answer.ok && !(await this.#isOurs(answer.trouble))) return this.#notKept(answer.trouble)
      if (!answer.ok) continue
      this.#known = [text]
      const { version: written } = answer.value
      const isKept = this.now.text === text
      if (isKept) forgetUnsent(this.name, text)
      else keepUnsent(this.name, { text: this.now.text, version: written })
      this.#set({ version: written, isKept, trouble: null })
    }
    clearTimeout(this.#quiet)
    if (!this.#isLeft) await this.check()
  }

  #notKept(trouble: Trouble): void {
    this.#set({ trouble })
    if (trouble.code === 'offline') this.#keepAfter(AGAIN_MS)
  }

  /**
   * Say whether the draft was changed by what went out from here: a writing whose answer was lost, or a picture. Then
   * its version is gone on from.
   */
  async #isOurs(trouble: Trouble): Promise<boolean> {
    if (trouble.code !== 'draft-changed') return false
    const answer = await this.sync.send<DraftAnswer>(pathOf(this.name), {})
    if (!answer.ok || !this.#known.includes(answer.value.text)) return false
    if (answer.value.version === this.now!.version) return false
    const { version, pictures } = answer.value
    this.#set({ version, pictures })
    return true
  }

  #keepAfter(ms: number): void {
    clearTimeout(this.#quiet)
    this.#quiet = setTimeout(() => void this.keep(), ms)
  }

  async check(): Promise<void> {
    clearTimeout(this.#looking)
    this.#set({ checking: 0 })
    const path = `${pathOf(this.name)}/check`
    const answer = await this.sync.send<CheckAnswer>(path, { method: 'POST', json: {} })
    if (answer.ok) await this.#look()
    else this.#set({ checking: null, trouble: answer.trouble })
  }

  async #look(): Promise<void> {
    const answer = await this.sync.send<CheckAnswer>(`${pathOf(this.name)}/check`, {})
    if (!answer.ok) return this.#set({ checking: null, trouble: answer.trouble })
    const { state, states, report } = answer.value
    this.#set({ checking: state === 'running' ? states : null, ...(report ? { report } : {}) })
    if (state === 'running' && !this.#isLeft) this.#looking = setTimeout(() => void this.#look(), LOOK_MS)
  }

  async stop(): Promise<void> {
    clearTimeout(this.#looking)
    const answer = await this.sync.send<CheckAnswer>(`${pathOf(this.name)}/check`, { method: 'DELETE' })
    this.#set({ checking: null, trouble: answer.ok ? null : answer.trouble })
  }

  /** Another version is known to be there: a picture was put in, say. */
  took(version: string, pictures: DraftAnswer['pictures']): void {
    this.#set({ version, pictures })
    void this.check()
  }

  /** Write what stands here as another draft, where somebody else has changed this one; pictures and blocks come along. */
  async keepAs(other: string): Promise<boolean> {
    const { text } = this.now!
    const json = { text, beside: this.name }
    const answer = await this.sync.send(pathOf(other), { method: 'PUT', json, headers: asNew })
    if (answer.ok) forgetUnsent(this.name, text)
    this.#set(answer.ok ? { trouble: null, isKept: true } : { trouble: answer.trouble })
    return answer.ok
  }

  /** Let go of what stands here: it is not to be written any more. */
  giveUp(): void {
    forgetUnsent(this.name)
    this.#set({ isKept: true })
  }

  /** Go away from it: what was typed last goes out all the same. */
  leave(): void {
    this.#isLeft = true
    clearTimeout(this.#looking)
    if (this.now && !this.now.isKept) void this.keep()
  }

  #set(changed: Partial<DraftNow>): void {
    if (this.now) this.#become({ ...this.now, ...changed })
  }

  #become(now: DraftNow): void {
    this.now = now
    if (!this.#isLeft) this.told(now)
  }
}
