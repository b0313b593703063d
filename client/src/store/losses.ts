/** What is in neither place any more: numbers that nothing has, a key, the files of photos. Each is told once. */
import type { Announcements } from './announcements'
import type { Last } from './canary'
import type { Database } from './database'
import { keptEntry } from './entries'
import { entriesLost, keyLost, photosLost, wiped } from './notices'
import { joined, missingNumbers, numbersOf, runsOf, slotsIn, type Without } from './numbers'
import type { Pictures } from './pictures'
import { lastSeq, raiseSeq } from './sequence'
import { putSingle, readSingle, single } from './singles'
import type { PhotoName } from './types'
import { filesSaid } from './view'

/**
 * Numbers that nothing has: before the last that is here, or before what the canary knows of.
 *
 * @param slots places of all entries that were written here; null when they are still to be read
 * @returns whether there were any that are to be told
 */
export async function missNumbers(
  db: Database,
  last: Last | null,
  slots: string[] | null,
  announcements: Announcements,
): Promise<boolean> {
  const upTo = new Map(last ? [[last.device, last.seq]] : [])
  const { missing, without, unread, isHere } = await lackedNumbers(db, last, slots, upTo)
  const told: Without = Object.fromEntries([...missing].map(([device, numbers]) => [device, runsOf(numbers)]))
  const [all, stands] = [joined(without, told), joined(unread, told)]
  const lost = Object.values(stands).flatMap(numbersOf)
  // What was told may have gone with a torn log, and the journal still know that nobody had read it.
  const isNews = missing.size > 0 || (lost.length > 0 && !announcements.tellsOfLoss)
  if (isNews) await announcements.say(isHere || !last ? entriesLost(lost) : wiped(last))
  // The loss is told once; numbers that were used are not given twice, though they were told before and the count is lost.
  const used = [
    ...upTo,
    ...Object.entries(all).map(([device, runs]) => [device, runs.at(-1)?.[1] ?? 0] as const),
  ]
  if (!missing.size && !(await isBehind(db, used))) return isNews
  await db.change(['things'], async (tx) => {
    await putSingle(tx, 'without', all)
    if (missing.size) await putSingle(tx, 'unread', stands)
    for (const [device, seq] of used) await raiseSeq(tx, device, seq)
  })
  return isNews
}

const lackedNumbers = (
  db: Database,
  last: Last | null,
  slots: string[] | null,
  upTo: ReadonlyMap<string, number>,
) =>
  db.read(['entries', 'things'], async (tx) => {
    const told = (await single(tx, 'without')) ?? {}
    const device = await single(tx, 'device')
    // While the canary names a device that this phone was before, what was told of it may have been lost since.
    const former = device && last?.device !== device.id ? last?.device : undefined
    const without = Object.fromEntries(Object.entries(told).filter(([name]) => name !== former))
    return {
      missing: await missingNumbers(tx, slots ?? (await slotsIn(tx)), upTo, without),
      without: told,
      unread: (await single(tx, 'unread')) ?? {},
      isHere: device !== null || (await tx.objectStore('entries').index('slot').count()) > 0,
    }
  })

const isBehind = (db: Database, used: (readonly [device: string, seq: number])[]): Promise<boolean> =>
  db.read(['things'], async (tx) => {
    for (const [device, seq] of used) if ((await lastSeq(tx, device)) < seq) return true
    return false
  })

export async function missKey(db: Database, last: Last | null, announcements: Announcements): Promise<void> {
  if (await readSingle(db, 'device')) return
  const entries = await db.read(['entries'], (tx) => tx.objectStore('entries').index('slot').count())
  if (entries) await announcements.say(keyLost(entries, last?.workshopName ?? ''))
}

/**
 * Photos that nothing here knows any more: the database went, and the journal no longer named what the workshop
 * had. It may have lost them since, and a phone that reads nothing is not asked for them: they are offered again.
 * Where entries were lost nobody can say which photos they named: all that is here is.
 */
export async function findPhotos(db: Database, pictures: Pictures): Promise<void> {
  const here = await pictures.here()
  const { known, dropped, without } = await db.read(['photos', 'things'], async (tx) => ({
    known: await tx.objectStore('photos').getAllKeys(),
    dropped: (await single(tx, 'dropped')) ?? [],
    without: (await single(tx, 'without')) ?? {},
  }))
  for (const blob of [...known, ...dropped]) here.delete(blob)
  if (!here.size) return
  const found = (await ownPhotos(db)).filter(({ blob }) => here.delete(blob))
  if (Object.keys(without).length) for (const blob of here) found.push(...(await pictures.described(blob)))
  await db.change(['photos'], async (tx) => {
    for (const photo of found) await tx.objectStore('photos').put({ ...photo, waiting: 1 })
  })
}

/** As the entries that were written here name them. */
async function ownPhotos(db: Database): Promise<PhotoName[]> {
  const rows = await db.read(['entries'], (tx) => tx.objectStore('entries').getAll())
  return rows.filter(({ mine }) => mine === 1).flatMap(({ id, line }) => filesSaid(keptEntry(line, id)))
}

export async function missPhotos(
  db: Database,
  pictures: Pictures,
  announcements: Announcements,
): Promise<void> {
  const here = await pictures.here()
  const lost = await db.read(['photos'], (tx) => tx.objectStore('photos').index('waiting').getAll())
  const gone = lost.filter(({ blob, refused }) => !here.has(blob) && !refused)
  if (!gone.length) return
  const told = photosLost(gone.length)
  await db.change(['photos'], async (tx) => {
    for (const row of gone) await tx.objectStore('photos').put({ ...row, refused: told })
  })
  await announcements.say(told)
}
