import { expect, test } from 'vitest'
import { CONSOLE, signEntry } from '@client/ledger/entry'
import { generateKey } from '@client/ledger/keys'
import { Roster } from '@client/sync/roster'

const PERSON = '0190a8b0-0000-7000-8000-000000000001'
const AT = '2026-11-24T12:00:00.000Z'

test('the workshop key speaks as the console alone, and nobody else does', async () => {
  const [key, other] = [await generateKey(), await generateKey()]
  const of = { workshop: key.thumbprint, job: null, after: [], at: AT }
  const roster = new Roster(key.thumbprint)
  await roster.apply(0, await signEntry({ ...of, person: CONSOLE, seq: 1, kind: 'workshop.keyed', body: { key: key.key, name: 'Workshop at the Weir' } }, key))
  const revoked = { kind: 'device.revoked' as const, body: { device: other.thumbprint, because: 'lost' } }
  const spoken = await signEntry({ ...of, person: CONSOLE, seq: 2, ...revoked }, key)
  expect(roster.speaksAs(spoken, 1, ['console', 'owner'])).toBe(true)
  const asSomebody = await signEntry({ ...of, person: PERSON, seq: 3, ...revoked }, key)
  expect(roster.speaksAs(asSomebody, 2, ['console', 'owner'])).toBe(false)
  const byStranger = await signEntry({ ...of, person: CONSOLE, seq: 1, ...revoked }, other)
  expect(roster.speaksAs(byStranger, 3, ['console', 'owner'])).toBe(false)
})
