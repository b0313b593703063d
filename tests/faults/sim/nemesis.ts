/** What goes wrong, by chance: each harm by the name under which the table of faults knows it. */
import { parseEntry } from '@client/ledger/entry'
import type { EntryRow } from '@client/store'
import { refsOf } from '@client/store/view'
import type { Chance } from './chance'
import type { Weather } from './line'
import type { Oracle } from './oracle'
import type { Phone, SimWindow } from './phone'
import type { Truth } from './truth'
import { DAY_MS, type World } from './world'

export interface Scene {
  world: World
  truth: Truth
  oracle: Oracle
  phones: Phone[]
  /** Enrol, or enrol anew. */
  invite(window: SimWindow): Promise<void>
}

type Harm = (scene: Scene, phone: Phone) => void | Promise<void>

/** The window to harm; none while the phone is off. */
const windowOf = (phone: Phone) => phone.windows.find(({ store }) => store.writer.value) ?? null

function kill(isPower: boolean): Harm {
  return ({ world }, phone) => {
    const window = windowOf(phone)
    // At any step of what it does next: between journal, database and photo, inside a batch, in an upload.
    if (window) window.killIn = { left: world.chance.whole(0, world.chance.of([6, 40, 150])), isPower }
  }
}

const weather =
  (...kinds: Weather[]): Harm =>
  ({ world }, phone) => {
    phone.line.weather = world.chance.of(kinds)
    world.harm(phone.name, `weather: ${phone.line.weather}`)
  }

function refuse(name: 'QuotaExceededError' | 'UnknownError' | 'dead'): Harm {
  return ({ world }, phone) => {
    world.harm(phone.name, name === 'dead' ? 'handle dies' : `database refuses: ${name}`)
    phone.base.refusal = { left: world.chance.whole(1, 12), name, isLate: world.chance.is(0.5) }
  }
}

/** Killed first: a browser's storage goes while it does not look. */
function destroy(...places: ('base' | 'journal')[]): Harm {
  return ({ world, oracle }, phone) => {
    world.harm(phone.name, `lost: ${places.join(' and ')}`)
    phone.kill(false)
    for (const place of places) {
      phone.harmed.add(place)
      if (place === 'base') phone.base.lose()
      else
        for (const name of [...phone.disk.folder('two-turns').keys()])
          if (name.startsWith('journal-')) phone.disk.folder('two-turns').delete(name)
    }
    oracle.harmed(phone)
  }
}

const wipe: Harm = ({ world, oracle }, phone) => {
  const isCanaryGone = world.chance.is(0.3)
  world.harm(phone.name, 'origin wiped', isCanaryGone ? 'with what tells of it' : '')
  phone.kill(false)
  phone.base.lose()
  for (const photo of phone.disk.photos.keys()) phone.damaged.add(photo)
  phone.disk.root.clear()
  phone.line.cookie = ''
  if (isCanaryGone) [phone.last, phone.toldOfLoss] = [null, true] // nobody can know: it looks like a new phone
  if (world.chance.is(0.5)) phone.key = null
  phone.harmed.add('base').add('journal')
  oracle.harmed(phone)
}

const HARMS: Record<string, [weight: number, harm: Harm]> = {
  'browser killed': [6, kill(false)],
  'battery gone': [6, kill(true)],
  clear: [6, weather('clear')],
  bad: [8, weather('bad', 'flapping', 'slow')],
  down: [4, weather('down')],
  'somebody else': [4, weather('portal', 'gateway', 'impostor')],
  quota: [3, refuse('QuotaExceededError')],
  unknown: [2, refuse('UnknownError')],
  handle: [2, refuse('dead')],
  'disk full': [
    3,
    ({ world }, phone) => {
      phone.disk.room = world.chance.of([0, 300, 40_000, 600_000, 2_000_000])
      world.harm(phone.name, 'disk full', `${phone.disk.room} bytes left`)
    },
  ],
  'disk freed': [
    3,
    ({ world }, phone) => {
      if (phone.disk.room > 1e9) return
      phone.disk.room = Infinity
      world.harm(phone.name, 'disk freed')
    },
  ],
  'file fails': [
    2,
    ({ world }, phone) => {
      world.harm(phone.name, 'file fails')
      phone.disk.failing = {
        left: world.chance.whole(1, 4),
        name: world.chance.of(['NotReadableError', 'UnknownError', 'InvalidStateError']),
      }
    },
  ],
  'journal unreadable': [
    1.5,
    ({ world }, phone) => {
      phone.kill(false)
      phone.disk.unreadable = world.chance.whole(1, 8)
      world.harm(phone.name, 'journal unreadable')
    },
  ],
  'journal held': [
    1.5,
    ({ world }, phone) => {
      phone.kill(false)
      world.harm(phone.name, 'journal held by a page that is gone')
      world.after(60_000, phone.disk.holdOn())
    },
  ],
  'journal flipped': [
    1.5,
    ({ world, oracle }, phone) => {
      phone.kill(false)
      const [journal] = phone.disk.journals
      if (!journal || journal.length === 0) return
      world.harm(phone.name, 'byte flipped: journal')
      const { bytes } = journal
      const at = world.chance.whole(0, bytes.length - 1)
      bytes[at] = (bytes[at] ?? 0) ^ 0x55
      journal.bytes = bytes
      phone.harmed.add('journal')
      oracle.harmed(phone)
    },
  ],
  'photo flipped': [
    2,
    ({ world, phones }) => {
      const among = phones.filter(({ disk }) => disk.photos.size)
      if (!among.length) return
      const phone = world.chance.of(among)
      const photos = [...phone.disk.photos]
      const [name, file] = world.chance.of(photos)
      world.harm(phone.name, 'byte flipped: photo', name.slice(0, 8))
      const { bytes } = file
      bytes[0] = (bytes[0] ?? 0) ^ 0x55
      file.bytes = bytes
      phone.damaged.add(name)
    },
  ],
  'database lost': [2, destroy('base')],
  'journal lost': [1.5, destroy('journal')],
  'both lost': [0.5, destroy('base', 'journal')],
  wiped: [1, wipe],
  clock: [
    3,
    ({ world }, phone) => {
      phone.skewMs = world.chance.of([0, -3 * 365 * DAY_MS, 10 * 365 * DAY_MS, -3_600_000, 40 * DAY_MS])
      world.harm(phone.name, 'clock off', `${phone.skewMs / DAY_MS} days`)
    },
  ],
  'second window': [
    4,
    async ({ world }, phone) => {
      if (!phone.windows.length || phone.windows.length > 2) return
      world.harm(phone.name, 'second window')
      await phone.start()
    },
  ],
  'window closed': [
    3,
    ({ world, phones }) => {
      const among = phones.filter(({ windows }) => windows.length > 1)
      if (!among.length) return
      const phone = world.chance.of(among)
      world.harm(phone.name, 'window closed')
      phone.close(world.chance.of(phone.windows))
    },
  ],
  'enrolled anew': [
    1,
    async ({ world, invite }, phone) => {
      const window = windowOf(phone)
      if (!window || phone.line.weather === 'down') return
      world.harm(phone.name, 'enrolled anew')
      await invite(window)
    },
  ],
  revoked: [
    1.5,
    ({ world, truth, oracle }, phone) => {
      const device = windowOf(phone)?.store.device.value
      if (!device || phone.role !== 'mechanic') return
      world.harm(phone.name, 'revoked')
      oracle.withdrawn(phone, device.id)
      truth.revoke(device.id)
    },
  ],
  poison: [
    3,
    ({ world, phones }) => {
      const waitingOn = ({ base }: Phone) =>
        base.rows<EntryRow>('entries').filter((row) => row.waiting !== undefined)
      const among = phones.filter((phone) => waitingOn(phone).length)
      if (!among.length) return
      const phone = world.chance.of(among)
      const waiting = waitingOn(phone)
      phone.line.poison = world.chance.of(waiting).line.split(' ')[0] as string
      world.harm(phone.name, 'poison entry')
    },
  ],
  'backup made': [
    4,
    ({ world, truth }) => {
      truth.backUp()
      world.harm('workshop', 'backup made')
    },
  ],
  restored: [
    1.2,
    ({ world, truth }) => {
      if (!truth.hasBackup) return
      world.harm('workshop', 'restored from a backup')
      truth.restore()
    },
  ],
  restarted: [
    2,
    ({ world, truth }) => {
      truth.restart()
      world.harm('workshop', 'workshop restarted')
    },
  ],
  full: [
    1,
    ({ world, truth }) => {
      world.harm('workshop', 'workshop full')
      truth.setFull(true)
      world.after(120_000, () => truth.setFull(false))
    },
  ],
  erased: [
    1.5,
    async ({ world, truth, oracle }) => {
      truth.look()
      const entries = await Promise.all(truth.rows.map(({ line }) => parseEntry(line)))
      const blobs = entries.filter(({ kind }) => kind === 'note.added').flatMap(({ body }) => refsOf(body))
      if (!blobs.length) return
      const { blob } = world.chance.of(blobs)
      world.harm('workshop', 'erased', blob.slice(0, 8))
      oracle.erased.add(blob)
      truth.erase(blob)
    },
  ],
  holiday: [
    0.7,
    ({ world, phones }) => {
      world.harm('world', 'forty days go by')
      for (const phone of phones) phone.skewMs += 40 * DAY_MS
    },
  ],
}

const WEIGHTS = Object.fromEntries(Object.entries(HARMS).map(([name, [weight]]) => [name, weight]))

/** Some kinds of harm, the rare ones less rare than their weights are: otherwise two of them hardly ever meet. */
export function someHarms(chance: Chance): string[] {
  const weights = Object.fromEntries(
    Object.entries(WEIGHTS).map(([name, weight]) => [name, Math.sqrt(weight)]),
  )
  return Array.from({ length: chance.whole(3, 8) }, () => chance.weighed(weights))
}

/** One more thing goes wrong; of these kinds, if any are named. */
export async function strike(scene: Scene, only: readonly string[]): Promise<void> {
  const { chance } = scene.world
  const name = only.length ? chance.of(only) : chance.weighed(WEIGHTS)
  const [, harm] = HARMS[name] as [number, Harm]
  await harm(scene, chance.of(scene.phones))
}

/** Whatever can heal, heals. */
export function heal({ world, truth, phones }: Scene): void {
  world.tell('world', 'info', 'everything is healed')
  truth.setFull(false)
  for (const phone of phones) {
    phone.line.weather = 'clear'
    phone.line.poison = null
    phone.disk.room = Infinity
    phone.disk.failing = null
    phone.disk.unreadable = 0
    phone.base.refusal = null
    for (const window of phone.windows) window.killIn = null
  }
}
