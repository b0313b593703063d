/**
 * Whose keys are whose, folded from the workshop's statements in ledger order. It starts from
 * nothing but the workshop id, which is on paper: the first workshop key must have that name,
 * every later key must be handed over to by one that counted.
 */
import { decode } from '../ledger/base64url'
import type { Body } from '../ledger/bodies'
import { CONSOLE, verifyEntry, type Entry } from '../ledger/entry'
import { enrolmentMessage, SIGNATURE_BYTES, successionMessage, thumbprint, verify } from '../ledger/keys'
import type { Role } from '../store'

interface Known {
  key: string
  role: Role | 'console'
  from: number
  until: number
}

/** The kinds this fold reads; of `work.accepted` the number alone, with which the workshop goes on after a restore. */
export const ROSTER_KINDS = ['workshop.keyed', 'device.invited', 'device.enrolled', 'device.revoked', 'work.accepted', 'rules.began'] as const

/** No workshop states so much between two restores; a restore leaps by twice as much at least. */
const LEAP = 2 ** 31

export class Roster {
  /** Base64url; null until the first `workshop.keyed` that counts. */
  workshopKey: string | null = null
  workshopName = ''
  readonly #devices = new Map<string, Known>()
  /** Where a device's numbers leapt: the workshop key's do after a restore. */
  readonly #leaps: { device: string; index: number; seq: number }[] = []
  readonly #highest = new Map<string, number>()
  /** Null once it was used: told a second time it is no other invitation. */
  /** Index and edition of the rules, both rising. */
  readonly #began: { index: number; edition: number }[] = []
  readonly #invitations = new Map<string, Body<'device.invited'> | null>()

  constructor(private readonly workshop: string) {}

  /** The key that is known from the invitation, while no statement of the workshop's is here. */
  async pin(key: string): Promise<void> {
    if (this.workshopKey !== null) return
    this.#devices.set(await thumbprint(key), { key, role: 'console', from: 0, until: Infinity })
    this.workshopKey = key
  }

  /**
   * The edition of the rules that hold for the entry at a place in the ledger. A workshop begins with
   * one (`edition` of its first record), or is of the first; a `rules.began` holds from its own place on.
   */
  editionAt(index: number): number {
    return this.#began.filter((one) => one.index <= index).at(-1)?.edition ?? 1
  }

  /** The key to verify an entry with: its device's, or the one that it brings itself. */
  keyOf(entry: Entry): string | null {
    const known = this.#devices.get(entry.device)
    if (known) return known.key
    const brings = entry.kind === 'workshop.keyed' || entry.kind === 'device.enrolled'
    return brings ? entry.body.key : null
  }

  /** Whether the entry's device might, at this place in the ledger, speak for one of these. */
  speaksAs(entry: Entry, index: number, roles: readonly Known['role'][]): boolean {
    const known = this.#devices.get(entry.device)
    if (known === undefined || (entry.person === CONSOLE) !== (known.role === CONSOLE)) return false
    return roles.includes(known.role) && known.from <= index && index <= known.until
  }

  /**
   * Whether the workshop says of its disk what a restore has undone. Its key numbers upwards, and
   * after a restore far above all before: a number below one before it was brought back by a phone.
   */
  isOfLostDisk(entry: Entry, index: number): boolean {
    return this.#leaps.some((leap) => leap.device === entry.device && leap.index < index && leap.seq > entry.seq)
  }

  /** Take in an entry whose signature holds. Statements that do not count change nothing. */
  async apply(index: number, entry: Entry): Promise<void> {
    const highest = this.#highest.get(entry.device) ?? 0
    if (entry.seq - highest > LEAP) this.#leaps.push({ device: entry.device, index, seq: entry.seq })
    this.#highest.set(entry.device, Math.max(entry.seq, highest))
    if (entry.kind === 'workshop.keyed') await this.#keyed(index, entry, entry.body)
    if (entry.kind === 'device.enrolled') await this.#enrolled(index, entry, entry.body)
    if (!this.speaksAs(entry, index, ['console', 'owner'])) return
    if (entry.kind === 'device.invited' && !this.#invitations.has(entry.id)) this.#invitations.set(entry.id, entry.body)
    if (entry.kind === 'device.revoked') this.#revoked(index, entry.body.device)
    if (entry.kind === 'rules.began' && this.speaksAs(entry, index, ['console'])) this.#begin(index, entry.body.edition)
  }

  #begin(index: number, edition: number): void {
    if (edition > this.editionAt(index)) this.#began.push({ index, edition })
  }

  async #keyed(index: number, entry: Entry, body: Body<'workshop.keyed'>): Promise<void> {
    const name = await thumbprint(body.key)
    if (this.#devices.has(name) || !(await verifyEntry(entry, body.key))) return
    const counts = this.workshopKey === null ? name === this.workshop : await this.#isHandedOver(index, body)
    if (!counts) return
    for (const known of this.#devices.values()) {
      if (known.role === 'console') known.until = Math.min(known.until, index)
    }
    this.#devices.set(name, { key: body.key, role: 'console', from: index, until: Infinity })
    if (this.workshopKey === null) this.#begin(index, body.edition ?? 1)
    this.workshopKey = body.key
    this.workshopName = body.name
  }

  async #isHandedOver(index: number, { key, signed_by }: Body<'workshop.keyed'>): Promise<boolean> {
    if (!signed_by) return false
    const before = this.#devices.get(await thumbprint(signed_by.key))
    if (!before || !['console', 'owner'].includes(before.role) || index < before.from || index > before.until) return false
    return verify(before.key, successionMessage({ key, workshop: this.workshop }), decode(signed_by.signature, SIGNATURE_BYTES))
  }

  async #enrolled(index: number, entry: Entry, body: Body<'device.enrolled'>): Promise<void> {
    const invited = this.#invitations.get(body.invitation)
    if (!invited || invited.person !== entry.person || this.#devices.has(entry.device)) return
    const said = { device: entry.device, invitation: body.invitation, workshop: this.workshop }
    if (!(await verify(invited.key, enrolmentMessage(said), decode(body.countersign, SIGNATURE_BYTES)))) return
    this.#invitations.set(body.invitation, null) // the first in the ledger wins
    this.#devices.set(entry.device, { key: body.key, role: invited.role, from: index, until: Infinity })
  }

  /** A workshop key is not revoked but succeeded: a workshop always has one. */
  #revoked(index: number, device: string): void {
    const known = this.#devices.get(device)
    if (known && known.role !== 'console') known.until = Math.min(known.until, index)
  }
}
