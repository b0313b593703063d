/**
 * The proof that this phone is in the workshop's ledger, kept with its key. A workshop that was put
 * back to before the phone came in knows neither it nor its invitation, and this brings both back.
 */
import type { EnrolAnswer } from '../ledger/answers'
import { openCheckpoint, type Checkpoint } from '../ledger/checkpoint'
import { parseRecord } from '../ledger/record'
import type { EnrolmentReceipt, EntryRow, PhoneStore } from '../store'
import type { Api } from './api'
import { Refused, unproven, Untrue } from './errors'
import { isProven } from './proof'
import type { Ledger } from './pull'

/** Take this phone's enrolment to the workshop: once it is in, as often as one likes. */
export const askIn = (api: Api, json: { line: string; receipt?: EnrolmentReceipt }): Promise<EnrolAnswer> =>
  api.json<EnrolAnswer>('/api/enrol', { method: 'POST', json, members: ['index', 'record', 'checkpoint'] })

/** The receipt that an answer makes for an enrolment's line, under the head that it proves itself by. */
export async function receiptIn(
  { index, record, proof, checkpoint, invitation }: EnrolAnswer,
  line: string,
  head: Checkpoint,
): Promise<EnrolmentReceipt | null> {
  const enrolment = { index, record, proof }
  if (!record.endsWith(` ${line}`) || !(await isProven([enrolment], head, proof))) throw new Untrue(unproven)
  if (!invitation) return null
  const [invited, enrolled] = [
    (await parseRecord(invitation.record)).entry,
    (await parseRecord(record)).entry,
  ]
  const isOurs = enrolled.kind === 'device.enrolled' && enrolled.body.invitation === invited.id
  if (!isOurs || !(await isProven([invitation], head, invitation.proof))) throw new Untrue(unproven)
  return { checkpoint, invitation, enrolment }
}

/** The line with which this phone came in: of its entries, or of its receipt where those are lost. */
export async function ownEnrolment(store: PhoneStore): Promise<string | null> {
  const device = store.device.value
  const enrolments = await store.ledger.statements(['device.enrolled'])
  const own = enrolments.find(({ entry }) => entry.device === device?.id)?.entry.line
  return own ?? (device?.receipt ? (await parseRecord(device.receipt.enrolment.record)).entry.line : null)
}

export class Receipts {
  /** Once in a run of the app: a workshop of before has none to give. */
  #hasAsked = false

  constructor(
    private readonly api: Api,
    private readonly store: PhoneStore,
    private readonly ledger: Ledger,
  ) {}

  /**
   * What this phone wrote as another device is taken from no stranger: where a restore took that device, too, it comes
   * back first. Before that nothing is known of it, so it is asked for as often as something of it waits.
   */
  async bringBack(waiting: readonly EntryRow[]): Promise<void> {
    for (const receipt of this.store.device.value?.former ?? []) {
      const { line, device } = (await parseRecord(receipt.enrolment.record)).entry
      if (waiting.some(({ slot }) => slot?.startsWith(device)))
        await askIn(this.api, { line, receipt }).catch(unlessRefused)
    }
  }

  /** Have one that the workshop's key of now signed: a workshop that is put back trusts no key before it. */
  async renew(): Promise<void> {
    const device = this.store.device.value
    if (!device?.secret || this.#hasAsked) return
    const { receipt, workshopKey, workshop } = device
    if (receipt && (await openCheckpoint(receipt.checkpoint, workshopKey, workshop).catch(() => null))) return
    const line = await ownEnrolment(this.store)
    const answer = line === null ? null : await askIn(this.api, { line }).catch(unlessRefused)
    this.#hasAsked = true
    if (line === null || !answer) return
    const anew = await receiptIn(answer, line, await this.ledger.open(answer.checkpoint))
    if (anew) await this.store.enrolment.keepReceipt(device.id, anew)
  }
}

/** Nobody has asked for it: it is tried again later, and what is sent then is told of. */
function unlessRefused(error: unknown): null {
  if (error instanceof Refused) return null
  throw error
}
