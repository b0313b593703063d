/**
 * Whose keys are whose, folded from the workshop's statements in ledger order. It starts from
 * nothing but the workshop id, which is on paper: the first workshop key must have that name,
 * every later key must be handed over to by one that counted, or recovered by the key on paper.
 * A recovery undoes what workshop keys stated from a place on: the fold is made anew without it.
 * Twin of roster.py; `tests/server/ledger/test_succession.py` holds the two against each other.
 */
import { decode } from '../ledger/base64url'
import type { Body } from '../ledger/bodies'
import { CONSOLE, verifyEntry, type Entry } from '../ledger/entry'
import {
  commitmentMessage,
  enrolmentMessage,
  recoveryMessage,
  SIGNATURE_BYTES,
  successionMessage,
  thumbprint,
  verify,
} from '../ledger/keys'
import type { Role } from '../store'
import { Persons } from './persons'

export interface Known {
  key: string
  role: Role | 'console'
  /** Of the invitation, or "console". */
  person: string
  from: number
  until: number
}

/** A recovery that counts: its place, and how much of the ledger before it is trusted. */
export interface Recovery {
  index: number
  size: number
  /** Hex. */
  root: string
}

/** What a roster knows of the workshop's own keys, for holding one against another. */
export interface Succession {
  /** The workshop keys that counted, the current one last. */
  keys: string[]
  /** Thumbprints of the recovery keys that were committed to, the one in force last. */
  commitments: string[]
  recoveries: Recovery[]
}

/** The kinds this fold reads; of `work.accepted` the number alone, with which the workshop goes on after a restore. */
export const ROSTER_KINDS = [
  'workshop.keyed',
  'device.invited',
  'device.enrolled',
  'device.revoked',
  'work.accepted',
  'rules.began',
  'recovery.committed',
  'device.serves',
] as const

/** No workshop states so much between two restores; a restore leaps by twice as much at least. */
const LEAP = 2 ** 31

export class Roster {
  /** Base64url; null until the first `workshop.keyed` that counts. */
  workshopKey: string | null = null
  workshopName = ''
  #devices = new Map<string, Known>()
  /** Keys that records brought and that never had a right: what they signed is verified all the same. */
  readonly #brought = new Map<string, string>()
  /** Where a device's numbers leapt: the workshop key's do after a restore. */
  readonly #leaps: { device: string; index: number; seq: number }[] = []
  readonly #highest = new Map<string, number>()
  /** Null once it was used: told a second time it is no other invitation. */
  #invitations = new Map<string, Body<'device.invited'> | null>()
  /** Index and edition of the rules, both rising. */
  #began: { index: number; edition: number }[] = []
  /** Recovery keys that count, by their thumbprints; the last one is in force. */
  #commitments: { recovery: string; index: number }[] = []
  #recoveries: Recovery[] = []
  #persons = new Persons()
  readonly #taken = new Map<number, Entry>()

  constructor(private readonly workshop: string) {}

  /** The key that is known from the invitation, while no statement of the workshop's is here. */
  async pin(key: string): Promise<void> {
    if (this.workshopKey !== null) return
    this.#devices.set(await thumbprint(key), {
      key,
      role: 'console',
      person: CONSOLE,
      from: 0,
      until: Infinity,
    })
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
    const brought = this.#brought.get(entry.device)
    if (brought !== undefined) return brought
    const brings = entry.kind === 'workshop.keyed' || entry.kind === 'device.enrolled'
    return brings ? entry.body.key : null
  }

  /** Whether the entry's device might, at this place in the ledger, speak for one of these. */
  speaksAs(entry: Entry, index: number, roles: readonly Known['role'][]): boolean {
    const known = this.#devices.get(entry.device)
    if (known === undefined || (entry.person === CONSOLE) !== (known.role === CONSOLE)) return false
    if (this.editionAt(index) >= 2 && !this.personsOn(entry.device, index).includes(entry.person))
      return false
    return roles.includes(known.role) && known.from <= index && index <= known.until
  }

  /** For whom a device speaks at a place in the ledger: its own person, then those an owner admitted on it. */
  personsOn(device: string, index: number): string[] {
    const known = this.#devices.get(device)
    if (!known) return []
    return known.role === 'console'
      ? [CONSOLE]
      : [known.person, ...this.#persons.admitted(device, known.role, index)]
  }

  /**
   * Whether the workshop says of its disk what a restore has undone. Its key numbers upwards, and
   * after a restore far above all before: a number below one before it was brought back by a phone.
   */
  isOfLostDisk(entry: Entry, index: number): boolean {
    return this.#leaps.some(
      (leap) => leap.device === entry.device && leap.index < index && leap.seq > entry.seq,
    )
  }

  /** Whether a device came in at any time, also one that was revoked since. */
  cameIn(device: string): boolean {
    return this.#devices.has(device)
  }

  /** Every key that was ever let in; one that a recovery undid was in from a place after its last. */
  known(): Known[] {
    return [...this.#devices.values()]
  }

  /** What is known of the workshop's own keys. */
  succession(): Succession {
    const consoles = [...this.#devices.values()].filter(
      ({ role, from, until }) => role === 'console' && from <= until,
    )
    return {
      keys: consoles.sort((one, other) => one.from - other.from).map(({ key }) => key),
      commitments: this.#commitments.map(({ recovery }) => recovery),
      recoveries: this.#recoveries,
    }
  }

  /**
   * The statements that lead to the workshop's current key, known before the ledger is read up to
   * them: what a stolen key stated is judged by the recovery from the first page on.
   */
  async lead(chain: readonly { index: number; entry: Entry }[]): Promise<void> {
    for (const { index, entry } of chain) await this.#takeOnce(index, entry)
  }

  /** Take in an entry whose signature holds. Statements that do not count change nothing. */
  async apply(index: number, entry: Entry): Promise<void> {
    const highest = this.#highest.get(entry.device) ?? 0
    if (entry.seq - highest > LEAP) this.#leaps.push({ device: entry.device, index, seq: entry.seq })
    this.#highest.set(entry.device, Math.max(entry.seq, highest))
    await this.#takeOnce(index, entry)
  }

  async #takeOnce(index: number, entry: Entry): Promise<void> {
    if (entry.job !== null || this.#taken.has(index)) return
    await this.#take(index, entry)
    if ((ROSTER_KINDS as readonly string[]).includes(entry.kind)) this.#taken.set(index, entry)
  }

  async #take(index: number, entry: Entry): Promise<void> {
    if (entry.kind === 'workshop.keyed') await this.#keyed(index, entry, entry.body)
    if (entry.kind === 'device.enrolled') await this.#enrolled(index, entry, entry.body)
    if (!this.speaksAs(entry, index, ['console', 'owner'])) return
    if (entry.kind === 'device.invited') this.#invited(index, entry.id, entry.body)
    if (entry.kind === 'device.serves') this.#persons.serve(index, entry.body.device, entry.body.persons)
    if (entry.kind === 'device.revoked') this.#revoked(index, entry.body.device)
    if (!this.speaksAs(entry, index, ['console'])) return
    if (entry.kind === 'rules.began') this.#begin(index, entry.body.edition)
    if (entry.kind === 'recovery.committed') await this.#committed(index, entry.body)
  }

  #invited(index: number, id: string, body: Body<'device.invited'>): void {
    if (!this.#invitations.has(id)) this.#invitations.set(id, body)
    this.#persons.invite(index, body.person, body.role)
  }

  #begin(index: number, edition: number): void {
    if (edition > this.editionAt(index)) this.#began.push({ index, edition })
  }

  async #keyed(index: number, entry: Entry, body: Body<'workshop.keyed'>): Promise<void> {
    const name = await thumbprint(body.key)
    if (this.#devices.has(name) || !(await verifyEntry(entry, body.key))) return
    this.#brought.set(name, body.key)
    if (this.workshopKey === null) {
      if (name !== this.workshop) return
      this.#begin(index, body.edition ?? 1)
      if (body.recovery !== undefined) this.#commitments.push({ recovery: body.recovery, index })
    } else if (body.recovered) {
      if (!(await this.#isRecovered(body))) return
      await this.#foldAnew(index, body.recovered.size)
      this.#commitments.push({ recovery: body.recovery as string, index })
      this.#recoveries.push({ index, size: body.recovered.size, root: body.recovered.root })
    } else {
      if (!(await this.#isHandedOver(index, body))) return
      this.#closeKeys(index)
    }
    this.#devices.set(name, { key: body.key, role: 'console', person: CONSOLE, from: index, until: Infinity })
    this.workshopKey = body.key
    this.workshopName = body.name
  }

  #closeKeys(index: number): void {
    for (const known of this.#devices.values()) {
      if (known.role === 'console') known.until = Math.min(known.until, index)
    }
  }

  async #isHandedOver(index: number, { key, signed_by }: Body<'workshop.keyed'>): Promise<boolean> {
    if (!signed_by) return false
    const before = this.#devices.get(await thumbprint(signed_by.key))
    const may: string[] = this.editionAt(index) < 2 ? ['console', 'owner'] : ['console']
    if (!before || !may.includes(before.role) || index < before.from || index > before.until) return false
    return isSigned(before.key, successionMessage({ key, workshop: this.workshop }), signed_by.signature)
  }

  /**
   * Whether the recovery key in force signed for the new key, and commits to the next one. What is
   * trusted reaches beyond the commitment: else the recovery would undo its own ground.
   */
  async #isRecovered({ key, recovery, recovered }: Body<'workshop.keyed'>): Promise<boolean> {
    const inForce = this.#commitments.at(-1)
    if (!recovered || recovery === undefined || !inForce) return false
    const paper = await thumbprint(recovered.key)
    if (paper !== inForce.recovery || paper === recovery || recovered.size <= inForce.index) return false
    const { size, root } = recovered
    return isSigned(
      recovered.key,
      recoveryMessage({ key, recovery, root, size, workshop: this.workshop }),
      recovered.signature,
    )
  }

  /** Make the fold anew, without what workshop keys stated in what is not trusted. */
  async #foldAnew(index: number, size: number): Promise<void> {
    const before = this.#devices
    // It may be taken anew itself, by a later recovery: what came after it is not its concern.
    const taken = [...this.#taken].filter(([at]) => at < index).sort(([one], [other]) => one - other)
    this.workshopKey = null
    this.#devices = new Map()
    this.#invitations = new Map()
    this.#persons = new Persons()
    ;[this.#began, this.#commitments, this.#recoveries] = [[], [], []]
    for (const [at, entry] of taken) if (at < size) await this.#take(at, entry)
    this.#closeKeys(Math.min(size - 1, index))
    for (const [at, entry] of taken)
      if (at >= size && entry.kind !== 'workshop.keyed') await this.#take(at, entry)
    for (const [name, known] of before) {
      if (!this.#devices.has(name)) this.#devices.set(name, { ...known, until: known.from - 1 })
    }
  }

  /** The console commits to a recovery key once; from then on the paper decides. */
  async #committed(index: number, { recovery, signed_by }: Body<'recovery.committed'>): Promise<void> {
    const inForce = this.#commitments.at(-1)
    if (inForce) {
      if (!signed_by) return
      const paper = await thumbprint(signed_by.key)
      if (paper !== inForce.recovery || paper === recovery) return
      if (
        !(await isSigned(
          signed_by.key,
          commitmentMessage({ recovery, workshop: this.workshop }),
          signed_by.signature,
        ))
      )
        return
    }
    this.#commitments.push({ recovery, index })
  }

  async #enrolled(index: number, entry: Entry, body: Body<'device.enrolled'>): Promise<void> {
    const invited = this.#invitations.get(body.invitation)
    if (await verifyEntry(entry, body.key)) this.#brought.set(entry.device, body.key)
    if (!invited || invited.person !== entry.person || this.#devices.has(entry.device)) return
    const said = { device: entry.device, invitation: body.invitation, workshop: this.workshop }
    if (!(await verify(invited.key, enrolmentMessage(said), decode(body.countersign, SIGNATURE_BYTES))))
      return
    this.#invitations.set(body.invitation, null) // the first in the ledger wins
    this.#devices.set(entry.device, {
      key: body.key,
      role: invited.role,
      person: invited.person,
      from: index,
      until: Infinity,
    })
  }

  /** A workshop key is not revoked but succeeded: a workshop always has one. */
  #revoked(index: number, device: string): void {
    const known = this.#devices.get(device)
    if (known && known.role !== 'console') known.until = Math.min(known.until, index)
  }
}

const isSigned = (key: string, message: Uint8Array<ArrayBuffer>, signature: string) =>
  verify(key, message, decode(signature, SIGNATURE_BYTES))
