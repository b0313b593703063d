/** Inviting a person: signed by the owner's device, and the link that lets one device in, once. */
import type { Role } from '../../ledger/bodies'
import { atOf } from '../../ledger/entry'
import { invitationText } from '../../ledger/invitation'
import { KEY_BYTES, keyFromSeed } from '../../ledger/keys'
import { uuid7 } from '../../ledger/uuid'
import type { Device } from '../../store'
import type { Write } from './writing'

export interface Asked { role: Role; /** Null invites somebody new by `name`. */ person: string | null; name: string; minutes: number }
export interface Invited { link: string; entry: string; until: string }

/**
 * State the invitation. The secret in the link is kept nowhere: a link that was lost is replaced by a new one.
 *
 * @throws {NotKept} and nothing of it was stated.
 */
export async function invite(asked: Asked, device: Device, write: Write, around: { now: Date; random: (bytes: number) => Uint8Array<ArrayBuffer>; origin: string }): Promise<Invited> {
  const secret = around.random(KEY_BYTES)
  const { key } = await keyFromSeed(secret)
  const person = asked.person ?? uuid7(around.now.getTime(), around.random(10))
  const until = atOf(around.now.getTime() + asked.minutes * 60_000)
  let entry = ''
  await write(async (w) => {
    if (asked.person === null) await w.entry('person.named', { person, name: await w.secret('name', asked.name) })
    entry = await w.entry('device.invited', { key, role: asked.role, person, until })
  })
  const text = invitationText({ workshop: device.workshop, key: device.workshopKey, invitation: entry, role: asked.role, person, secret })
  return { link: `${around.origin}/#invite=${text}`, entry, until }
}

/** Four at a time are easier to compare. */
export const inFours = (text: string): string => (text.match(/.{1,4}/g) ?? []).join(' ')

export const randomBytes = (bytes: number): Uint8Array<ArrayBuffer> => crypto.getRandomValues(new Uint8Array(bytes))

/** A device's name for people: the first characters of its thumbprint, as the command line takes them. */
export const deviceName = (device: string): string => device.slice(0, 8)
