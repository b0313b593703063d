/** A job on the desk: what is here is shown at once, and it is whole when the workshop has said so. */
import { expect, it } from 'vitest'
import { readAndAsk, type Read } from '@client/screens/record/fetched'
import type { Rooms } from '@client/screens/rooms'
import { bundle, Log, row } from './baywork'

const trouble = { code: 'offline', message: 'No line.', hint: 'Later.' }

/** What a screen is told of a job, by what the workshop answers; `brought` is what it brings. */
async function told(isAnswered: boolean, here: Log | null, brought: Log | null = here): Promise<Read[]> {
  let log = here
  const store = {
    job: async () => (log ? row : null),
    bundle: async () => bundle,
    log: async () => log?.held ?? [],
    statements: async () => [],
  }
  const bringJobs = async () => {
    log = brought
    return isAnswered ? { ok: true, value: null } : { ok: false, trouble }
  }
  const all: Read[] = []
  const rooms = { store, sync: { bringJobs } } as unknown as Rooms
  await readAndAsk(rooms, row.job, true, (read) => all.push(read) > 0)
  return all
}

const short = (read: Read) => (read.at === 'here' ? [read.record.held.length, read.isWhole] : read.at)

it('is not called whole before the workshop has said that there is no more of it', async () => {
  const more = new Log()
  more.done('pin_in')
  expect((await told(true, new Log(), more)).map(short)).toEqual([
    [1, false],
    [more.held.length, true],
  ])
})

it('is not called whole without a line, also when some of it has come', async () => {
  expect((await told(false, new Log())).map(short)).toEqual([
    [1, false],
    [1, false],
  ])
  expect((await told(false, null, new Log())).map(short)).toEqual([[1, false]])
  expect(await told(false, null)).toEqual([{ at: 'missing', trouble }])
})
