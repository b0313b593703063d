/** Inviting a person: signed by the owner's device, and the link that lets one device in, once. */
import type { Body, Role } from '../../ledger/bodies'
import { atOf } from '../../ledger/entry'
import { invitationText } from '../../ledger/invitation'
import { KEY_BYTES, keyFromSeed } from '../../ledger/keys'
import { uuid7 } from '../../ledger/uuid'
import type { Device } from '../../store'
import type { Write } from './use-writing'

export interface Asked {
  role: Role /** Null invites somebody new by `name`. */
  person: string | null
  name: string
  minutes: number /** What an auditor may see, where it is not all. */
  scope?: Scope
}
type Scope = NonNullable<Body<'device.invited'>['scope']>

/** As typed at the desk: days, empty where nothing is limited. */
export interface ScopeDraft {
  from: string
  to: string
  end: string
  values: 'all' | 'vehicle' | 'none'
}

const VALUES: Record<ScopeDraft['values'], string[] | null> = {
  all: null,
  vehicle: ['vin', 'plate'],
  none: [],
}

/** The scope of an auditor's invitation; undefined where nothing is limited. The last day is whole, in UTC. */
export function scopeOf({ from, to, end, values }: ScopeDraft): Scope | undefined {
  const fields = VALUES[values]
  const scope: Scope = {
    ...(from || to ? { days: [from || '0001-01-01', to || '9999-12-31'] } : {}),
    ...(fields ? { values: fields } : {}),
    ...(end ? { end: `${end}T23:59:59.999Z` } : {}),
  }
  return Object.keys(scope).length > 0 ? scope : undefined
}

export interface Invited {
  link: string
  entry: string
  until: string
}

/**
 * State the invitation. The secret in the link is kept nowhere: a link that was lost is replaced by a new one.
 *
 * @throws {NotKept} and nothing of it was stated.
 */
export async function invite(
  asked: Asked,
  device: Device,
  write: Write,
  around: { now: Date; random: (bytes: number) => Uint8Array<ArrayBuffer>; origin: string },
): Promise<Invited> {
  const secret = around.random(KEY_BYTES)
  const { key } = await keyFromSeed(secret)
  const person = asked.person ?? uuid7(around.now.getTime(), around.random(10))
  const until = atOf(around.now.getTime() + asked.minutes * 60_000)
  let entry = ''
  await write(async (w) => {
    if (asked.person === null)
      await w.entry('person.named', { person, name: await w.secret('name', asked.name) })
    entry = await w.entry('device.invited', {
      key,
      role: asked.role,
      person,
      until,
      ...(asked.scope && asked.role === 'auditor' ? { scope: asked.scope } : {}),
    })
  })
  const text = invitationText({
    workshop: device.workshop,
    key: device.workshopKey,
    invitation: entry,
    role: asked.role,
    person,
    secret,
  })
  return { link: `${around.origin}/#invite=${text}`, entry, until }
}

/** Four at a time are easier to compare. */
export const inFours = (text: string): string => (text.match(/.{1,4}/g) ?? []).join(' ')

export const randomBytes = (bytes: number): Uint8Array<ArrayBuffer> =>
  crypto.getRandomValues(new Uint8Array(bytes))

/** A device's name for people: the first characters of its thumbprint, as the command line takes them. */
export const deviceName = (device: string): string => device.slice(0, 8)
