/**
 * What is known of this phone's storage: four states that change independently of one another. What happens
 * is named by the arrow; what is not drawn leaves a state as it is.
 *
 *   look     unseen ──looked──▶ seen                      since the app was opened, at both places
 *
 *                       ┌───────────cut───────────┐
 *   trust    sound ──failed──▶ doubted ──cramped──▶ cramped        in the database, after a failed write
 *              ▲               │  ▲ ▲                │   │
 *              └────mended─────┘  │ └─────roomy──────┘   │
 *                                 └──agreed── midway ◀──cut
 *
 *            doubted: to be compared and its log rolled over before anything is added to it.
 *            cramped: the same, once there is room for a new log.
 *            midway: an act may lie in one place alone; nothing is added until both agree, and none but that leads out.
 *
 *   copy     none | held | readonly | unread              the journal, as it was last opened
 *
 *            none: there is none, or no place for one. readonly: it was read, and cannot be written to.
 *            unread: there is one, and what is in it is not known; numbers in it could be given twice.
 *
 *   room     ample ◀──filled, emptied──▶ full             full: the ballast is given up, photos wait
 *
 * Pure: the keeper acts and says what came of it.
 */
type Trust = 'sound' | 'doubted' | 'cramped' | 'midway'
type Happening = 'failed' | 'cut' | 'agreed' | 'cramped' | 'roomy' | 'mended'

export type Copy = 'none' | 'held' | 'readonly' | 'unread'

const TRUST: Record<Trust, Partial<Record<Happening, Trust>>> = {
  sound: { failed: 'doubted', cut: 'midway' },
  doubted: { cut: 'midway', cramped: 'cramped', mended: 'sound' },
  cramped: { cut: 'midway', roomy: 'doubted' },
  midway: { agreed: 'doubted' },
}

export class StorageState {
  #look: 'unseen' | 'seen' = 'unseen'
  #trust: Trust = 'sound'
  #copy: Copy = 'none'
  #room: 'ample' | 'full' = 'ample'

  get isSeen(): boolean {
    return this.#look === 'seen'
  }

  get trust(): Trust {
    return this.#trust
  }

  get isDoubted(): boolean {
    return this.#trust !== 'sound'
  }

  get copy(): Copy {
    return this.#copy
  }

  get isFull(): boolean {
    return this.#room === 'full'
  }

  /** Something is to be tried again later. */
  get waits(): boolean {
    return !this.isSeen || this.#copy === 'unread' || this.isDoubted || this.isFull
  }

  looked(): void {
    this.#look = 'seen'
  }

  happened(what: Happening): void {
    this.#trust = TRUST[this.#trust][what] ?? this.#trust
  }

  opened(copy: Copy): void {
    this.#copy = copy
  }

  filled(isFull: boolean): void {
    this.#room = isFull ? 'full' : 'ample'
  }
}
