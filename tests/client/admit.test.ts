/** For whom a phone speaks is stated as a whole, by keys that may be pressed before the page shows what came of the last. */
import { expect, test } from 'vitest'
import { serving } from '@client/screens/desk/admit'
import { PhoneSync } from '@client/sync'
import { readInvitation } from '@client/sync/invitation'
import { JOB, openPhone } from './phone'
import { FakeWorkshop } from './workshop'

test('of two persons who are taken off one after the other neither is admitted again', async () => {
  const workshop = await FakeWorkshop.open()
  const { store } = await openPhone()
  const sync = new PhoneSync(store, { fetch: workshop.fetch, now: () => new Date(), chance: () => 0.5 })
  const invitation = readInvitation(await workshop.invite('owner'))
  if (!invitation.ok) throw new Error(invitation.trouble.message)
  await sync.enrol(invitation.value)
  await sync.now() // the round that it begins: it knows nothing of what is stated below
  const { id: device, person } = store.device.value!
  const [first, second] = [JOB.replace(/.$/, 'b'), JOB.replace(/.$/, 'c')]
  await workshop.state('device.serves', { device, persons: [first, person, second] })
  await sync.now()
  const takeOff = (one: string) =>
    store.write(
      null,
      serving({ store }, device, (persons) => persons.filter((each) => each !== one)),
    )
  const said = (await Promise.all([takeOff(first), takeOff(second)])).flat()
  expect(said.map(({ body }) => body)).toEqual([
    { device, persons: [person, second] },
    { device, persons: [person] },
  ])
})
