/** What a screen shows but may have to fetch first: photos, a whole job. */
import { signal, type ReadonlySignal, type Signal } from '@preact/signals'
import { useEffect, useState } from 'preact/hooks'
import type { Trouble } from '../../store'
import type { Shown } from '../../sync'
import type { Rooms } from '../rooms'
import { jobRecord, type JobRecord } from '../../work/record'
import * as words from '../../words/en/record/fetched'
import { t } from '../../words/message'
import { following, useChanged } from '../reading'

export type Picture = {
  url: string | null /** Null while it is coming. */
  bytes: Blob | null
  missing: Exclude<Shown['at'], 'here'> | null
}
const COMING: Picture = { url: null, bytes: null, missing: null }

/** An address for an image element; the bytes are let go with the screen. Null until they are here. */
export function usePicture(rooms: Rooms, sha: string, wish: { width?: number; wanted: boolean }): Picture {
  const { store, sync } = rooms
  const { width, wanted } = wish
  const [found, setFound] = useState(COMING)
  const isErased = erasedIn(store).value.has(sha)
  useEffect(() => {
    let url: string | null = null
    let gone = false
    if (!wanted) return
    void sync.picture(sha, width).then((shown) => {
      if (gone) return
      const bytes = shown.at === 'here' ? shown.blob : null
      url = bytes && URL.createObjectURL(bytes)
      setFound({ url, bytes, missing: shown.at === 'here' ? null : shown.at })
    })
    return () => {
      gone = true
      if (url) URL.revokeObjectURL(url)
      setFound(COMING)
    }
  }, [sync, sha, width, wanted, isErased])
  return found
}

const erased = new WeakMap<Rooms['store'], Signal<ReadonlySet<string>>>()

/** What is erased by now, for all pictures that are shown: one that is looked at goes with the order's carrying out. */
function erasedIn(store: Rooms['store']): ReadonlySignal<ReadonlySet<string>> {
  const known = erased.get(store)
  if (known) return known
  const found = signal<ReadonlySet<string>>(new Set())
  erased.set(store, found)
  const read = async () => {
    const said = (await store.statements(['blob.erased'])).filter(({ standing }) => standing !== 'doubted')
    const blobs = said.flatMap(({ entry }) => (entry.kind === 'blob.erased' ? [entry.body.blob] : []))
    if (blobs.length !== found.peek().size) found.value = new Set(blobs)
  }
  following(store.changed, () => void read())
  void read()
  return found
}

export type Read =
  | { at: 'reading' }
  | {
      at: 'here'
      record: JobRecord
      isWhole: boolean /** The workshop has said that there is no more of it. */
    }
  | { at: 'missing'; trouble: Trouble }

const missing = (code: string, message: string, hint: string): Extract<Read, { at: 'missing' }> => ({
  at: 'missing',
  trouble: { code, message, hint },
})

/**
 * A job and its log, read again whenever something kept here has changed. What is here is shown at once; the workshop is
 * asked for what has come to the job since, or for all of it. Not `asks`: what is here must do.
 */
export function useRecord({ store, sync }: Rooms, job: string, asks = true): Read {
  const [found, setFound] = useState<Read>({ at: 'reading' })
  const changed = useChanged(store)
  useEffect(() => {
    let gone = false
    const tell = (read: Read) => {
      // What was whole is shown again before it was asked for anew: it has all that it had.
      if (!gone) setFound((last) => (isOnOf(last, read) ? { ...read, isWhole: true } : read))
      return !gone
    }
    void readAndAsk({ store, sync }, job, asks, tell)
    return () => {
      gone = true
    }
  }, [store, sync, job, asks, changed])
  return found
}

const isOnOf = (last: Read, read: Read): read is Extract<Read, { at: 'here' }> =>
  last.at === 'here' && read.at === 'here' && last.isWhole && last.record.row.job === read.record.row.job

/** @param tell answers whether anybody still listens */
export async function readAndAsk(
  { store, sync }: Rooms,
  job: string,
  asks: boolean,
  tell: (read: Read) => boolean,
): Promise<void> {
  const held = await readRecord(store, job)
  const isHeard = (held.at !== 'here' && asks) || tell(held)
  if (!isHeard || !asks) return
  const brought = await sync.bringJobs([job])
  const now = await readRecord(store, job)
  if (now.at === 'here') tell({ ...now, isWhole: brought.ok })
  else tell(brought.ok ? now : { at: 'missing', trouble: brought.trouble })
}

/** Folded once for as long as the log stays as it is: a screen asks again at every change of anything. */
const folded = new Map<string, { key: string; record: JobRecord }>()

const SPEAK_AGAINST = ['lot.recalled', 'bundle.withdrawn', 'tool.checked', 'tool.calibrated']

async function readRecord(store: Rooms['store'], job: string): Promise<Exclude<Read, { at: 'reading' }>> {
  const row = await store.job(job)
  if (!row) return missing('unknown-job', t(words.unknownJob), t(words.unknownJobHint))
  const bundle = await store.bundle(row.bundle)
  if (!bundle) return missing('unknown-bundle', t(words.unknownBundle), t(words.unknownBundleHint))
  const [held, against] = await Promise.all([store.log(job), store.statements(SPEAK_AGAINST)])
  const key = `${row.bundle} ${held.map(({ entry, standing, place, index }) => `${entry.id}${standing}${place}${index}`).join()} ${against.map(({ entry, standing }) => `${entry.id}${standing}`).join()}`
  const known = folded.get(job)
  if (known?.key === key) return { at: 'here', record: known.record, isWhole: false }
  const record = jobRecord(row, bundle, held, against)
  folded.set(job, { key, record })
  return { at: 'here', record, isWhole: false }
}
