/** The store in a real browser without the screens: a test writes through it and hears every claim. */
import { signEntry } from '../../../client/src/ledger/entry'
import { generateKey } from '../../../client/src/ledger/keys'
import { openStore, type PhoneStore } from '../../../client/src/store'

const JOB = '0193a5b0-0000-7000-8000-0000000000aa'

/** As an enrolment leaves a phone, without a workshop having been asked. */
async function enrol(store: PhoneStore): Promise<void> {
  const key = await generateKey()
  const ids = { workshop: 'W'.repeat(43), person: '0193a5b0-0000-7000-8000-000000000001' }
  const body = { key: key.key, invitation: 'a'.repeat(64), countersign: 'A'.repeat(86) }
  const entry = await signEntry(
    { ...ids, job: null, seq: 1, after: [], at: '2026-11-24T12:00:00.000Z', kind: 'device.enrolled', body },
    key,
  )
  const words = {
    workshopKey: 'K'.repeat(43),
    workshopName: 'Cogline Garage',
    role: 'mechanic' as const,
    personName: '',
  }
  const device = { id: key.thumbprint, key: key.key, secret: key.secret, ...ids, ...words }
  await store.enrolment.joined({ invitation: body.invitation, device, entry }, 3, {
    cursor: 0,
    checkpoint: null,
    size: 0,
    root: '',
  })
}

const begin = async (store: PhoneStore, step: string) => {
  const [entry] = await store.write(
    JOB,
    async (writing) => void (await writing.entry('step.begun', { step })),
  )
  return { id: entry?.id, seq: entry?.seq }
}

/** A photo of so many random bytes: they do not pack. */
async function photo(store: PhoneStore, size: number): Promise<string> {
  const bytes = new Uint8Array(size)
  for (let at = 0; at < size; at += 65_536)
    crypto.getRandomValues(bytes.subarray(at, Math.min(size, at + 65_536)))
  let blob = ''
  await store.write(JOB, async (writing) => {
    blob = await writing.photo(new Blob([bytes], { type: 'image/jpeg' }))
    const said = { step: 'cover_off', name: 'covers', blob, size, type: 'image/jpeg', width: 0, height: 0 }
    await writing.entry('photo.taken', { ...said, how: 'live' })
  })
  return blob
}

async function held(store: PhoneStore) {
  const log = await store.log(JOB)
  return {
    ids: log.map(({ entry }) => entry.id),
    notices: store.notices.value.map(({ code }) => code),
    enrolled: store.device.value !== null,
  }
}

declare global {
  interface Window {
    probe: {
      open: typeof openStore
      enrol: typeof enrol
      begin: typeof begin
      photo: typeof photo
      held: typeof held
      JOB: string
    }
  }
}
window.probe = { open: openStore, enrol, begin, photo, held, JOB }
