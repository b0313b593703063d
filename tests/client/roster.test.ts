import { expect, test } from 'vitest'
import { encode } from '@client/ledger/base64url'
import { CONSOLE, parseEntry, signEntry, type Entry } from '@client/ledger/entry'
import { enrolmentMessage, generateKey, sign, type SigningKey } from '@client/ledger/keys'
import { Roster } from '@client/sync/roster'
import persons from '../vectors/persons.json'

const PERSON = '0190a8b0-0000-7000-8000-000000000001'
const AT = '2026-11-24T12:00:00.000Z'

/** The roster of a workshop that was made with a key, and what its entries have in common. */
async function founded(key: SigningKey) {
  const of = { workshop: key.thumbprint, job: null, after: [], at: AT }
  const roster = new Roster(key.thumbprint)
  await roster.apply(
    0,
    await signEntry(
      {
        ...of,
        person: CONSOLE,
        seq: 1,
        kind: 'workshop.keyed',
        body: { key: key.key, name: 'Workshop at the Weir' },
      },
      key,
    ),
  )
  return { of, roster }
}

test('the workshop key speaks as the console alone, and nobody else does', async () => {
  const [key, other] = [await generateKey(), await generateKey()]
  const { of, roster } = await founded(key)
  const revoked = { kind: 'device.revoked' as const, body: { device: other.thumbprint, because: 'lost' } }
  const spoken = await signEntry({ ...of, person: CONSOLE, seq: 2, ...revoked }, key)
  expect(roster.speaksAs(spoken, 1, ['console', 'owner'])).toBe(true)
  const asSomebody = await signEntry({ ...of, person: PERSON, seq: 3, ...revoked }, key)
  expect(roster.speaksAs(asSomebody, 2, ['console', 'owner'])).toBe(false)
  const byStranger = await signEntry({ ...of, person: CONSOLE, seq: 1, ...revoked }, other)
  expect(roster.speaksAs(byStranger, 3, ['console', 'owner'])).toBe(false)
})

test('an invitation that is told twice lets in one device only', async () => {
  const [key, paper, ...devices] = await Promise.all(Array.from({ length: 4 }, generateKey))
  if (!key || !paper) throw new Error('no keys')
  const { of, roster } = await founded(key)
  const body = { key: paper.key, role: 'owner' as const, person: PERSON, until: AT }
  const invited = await signEntry({ ...of, person: CONSOLE, seq: 2, kind: 'device.invited', body }, key)
  for (const [n, device] of devices.entries()) {
    await roster.apply(2 * n + 1, invited)
    const said = { device: device.thumbprint, invitation: invited.id, workshop: key.thumbprint }
    const countersign = encode(await sign(paper, enrolmentMessage(said)))
    const enrolled = await signEntry(
      {
        ...of,
        person: PERSON,
        seq: 1,
        kind: 'device.enrolled',
        body: { key: device.key, invitation: invited.id, countersign },
      },
      device,
    )
    await roster.apply(2 * n + 2, enrolled)
    expect(roster.speaksAs(enrolled, 9, ['owner'])).toBe(n === 0)
  }
})

test('the rules of an edition begin with the workshop or at their place, and never before', async () => {
  const key = await generateKey()
  const of = { workshop: key.thumbprint, job: null, person: CONSOLE, after: [], at: AT }
  const keyed = (more: { edition?: number }) =>
    signEntry(
      {
        ...of,
        seq: 1,
        kind: 'workshop.keyed',
        body: { key: key.key, name: 'Workshop at the Weir', ...more },
      },
      key,
    )
  const editions = async (...statements: Entry[]) => {
    const roster = new Roster(key.thumbprint)
    for (const [index, entry] of statements.entries()) await roster.apply(index, entry)
    return [0, 1, 2].map((index) => roster.editionAt(index))
  }
  const began = await signEntry({ ...of, seq: 2, kind: 'rules.began', body: { edition: 2 } }, key)
  const asSomebody = await signEntry(
    { ...of, person: PERSON, seq: 2, kind: 'rules.began', body: { edition: 2 } },
    key,
  )
  expect(await editions(await keyed({}))).toEqual([1, 1, 1])
  expect(await editions(await keyed({ edition: 2 }))).toEqual([2, 2, 2])
  expect(await editions(await keyed({}), began)).toEqual([1, 2, 2])
  expect(await editions(await keyed({}), asSomebody)).toEqual([1, 1, 1])
  expect(await editions(await keyed({ edition: 3 }), began)).toEqual([3, 3, 3])
})

test('a device speaks for those an owner admitted on it, as the workshop judges', async () => {
  const roster = new Roster(persons.workshop)
  const entries = await Promise.all(persons.entries.map(({ line }) => parseEntry(line)))
  for (const [index, entry] of entries.entries()) await roster.apply(index, entry)
  for (const [index, { right, persons: expected }] of persons.entries.entries()) {
    const entry = entries[index] as Entry
    expect([index, roster.speaksAs(entry, index, ['console', 'owner', 'mechanic', 'auditor'])]).toEqual([
      index,
      right,
    ])
    expect(roster.personsOn(persons.phone, index)).toEqual(expected)
  }
})
