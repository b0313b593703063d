/** Joining a workshop: a key that cannot leave this browser, signed for by itself and the invitation. */
import type { WorkshopAnswer } from '../ledger/answers'
import { encode } from '../ledger/base64url'
import { openCheckpoint } from '../ledger/checkpoint'
import { atOf, signEntry } from '../ledger/entry'
import { enrolmentMessage, generateKey, keyFromSeed, sign, type SigningKey } from '../ledger/keys'
import {
  NotKept,
  secondTab,
  type Device,
  type EnrolmentReceipt,
  type Joining,
  type PhoneStore,
  type Trouble,
} from '../store'
import type { Api } from './api'
import { notOurs, Untrue } from './errors'
import type { Invitation } from './invitation'
import { askIn, receiptIn } from './receipt'
import type { Round } from './round'
import { askChain } from './succession'
import * as words from '../words/en/sync/enrol'
import { t } from '../words/message'

const otherWorkshop: Trouble = {
  code: 'foreign-workshop',
  message: t(words.foreignWorkshop),
  hint: t(words.foreignWorkshopHint),
}

export class Enrolment {
  constructor(
    private readonly api: Api,
    private readonly store: PhoneStore,
    private readonly round: Round,
    private readonly now: () => Date,
  ) {}

  /** Join; a second try with the same invitation uses the same key, so a lost answer costs nothing. */
  async join(invitation: Invitation): Promise<void> {
    await this.store.settled() // the screen is there before the storage is
    if (!this.store.writer.value) throw new NotKept(secondTab)
    const workshop = await this.api.json<WorkshopAnswer>('/api/workshop', {
      members: ['workshop', 'key', 'name'],
    })
    const workshopKey = await this.#keyNow(invitation, workshop)
    const begun = await this.store.enrolment.joining()
    const joining =
      begun?.invitation === invitation.invitation
        ? begun
        : await this.#begin(invitation, { ...workshop, key: workshopKey })
    const answer = await askIn(this.api, { line: joining.entry.line })
    const head = await openCheckpoint(answer.checkpoint, workshopKey, invitation.workshop).catch(() => null)
    if (!head) throw notOurs(t(words.answer))
    const receipt = await receiptIn(answer, joining.entry.line, head)
    // The phone's own place in the ledger must not be told beside places in one that was lost.
    if (answer.rewound) await this.round.offerAgain()
    const device = {
      ...joining.device,
      ...(receipt ? { receipt } : {}),
      former: this.#former(joining.device),
    }
    await this.store.enrolment.joined(
      { ...joining, device },
      answer.index,
      await this.round.ledger.seenWith(answer.checkpoint, head),
    )
  }

  /** The receipts of who this phone has been until now. */
  #former({ id, workshop }: Device): EnrolmentReceipt[] {
    const before = this.store.device.value
    if (before?.workshop !== workshop) return []
    const own = before.receipt && before.id !== id ? [before.receipt] : []
    return [...(before.former ?? []), ...own]
  }

  /** The workshop's key: the invitation's, or one that it has been handed over to since the invitation was made. */
  async #keyNow(invitation: Invitation, { workshop, key }: WorkshopAnswer): Promise<string> {
    if (workshop !== invitation.workshop) throw new Untrue(otherWorkshop)
    if (key === invitation.key) return key
    const now = (await askChain(this.api, workshop))?.roster
    if (!now?.workshopKey || !now.succession().keys.includes(invitation.key)) throw new Untrue(otherWorkshop)
    return now.workshopKey
  }

  /** Kept before it is sent. */
  async #begin(invitation: Invitation, { name, key: workshopKey }: WorkshopAnswer): Promise<Joining> {
    const key = await generateKey()
    const said = { device: key.thumbprint, invitation: invitation.invitation, workshop: invitation.workshop }
    const countersign = await sign(await keyFromSeed(invitation.secret), enrolmentMessage(said))
    const entry = await signEntry(
      {
        workshop: invitation.workshop,
        job: null,
        person: invitation.person,
        seq: 1,
        after: [],
        at: atOf(this.now().getTime()),
        kind: 'device.enrolled',
        body: { key: key.key, invitation: invitation.invitation, countersign: encode(countersign) },
      },
      key,
    )
    const joining = {
      invitation: invitation.invitation,
      device: { ...deviceOf(key, invitation, name), workshopKey },
      entry,
    }
    await this.store.enrolment.keepJoining(joining)
    return joining
  }
}

const deviceOf = (
  { key, thumbprint, secret }: SigningKey,
  invitation: Invitation,
  workshopName: string,
): Device => ({
  id: thumbprint,
  key,
  secret,
  workshop: invitation.workshop,
  workshopKey: invitation.key,
  workshopName,
  person: invitation.person,
  role: invitation.role,
  personName: '',
})
