/** What a screen shows but may have to fetch first: photos, a whole job. */
import { useEffect, useState } from 'preact/hooks'
import type { Trouble } from '../../store'
import type { Shown } from '../../sync'
import type { Rooms } from '../rooms'
import { jobRecord, type JobRecord } from '../../work/record'
import * as words from '../../words/en/record/fetched'
import { t } from '../../words/message'
import { reading, useChanged } from '../reading'

export type Picture = {
  url: string | null /** Null while it is coming. */
  missing: Exclude<Shown['at'], 'here'> | null
}

/** An address for an image element; the bytes are let go with the screen. Null until they are here. */
export function usePicture({ sync }: Rooms, sha: string, wish: { width?: number; wanted: boolean }): Picture {
  const { width, wanted } = wish
  const [found, setFound] = useState<Picture>({ url: null, missing: null })
  useEffect(() => {
    let url: string | null = null
    let gone = false
    if (!wanted) return
    void sync.picture(sha, width).then((shown) => {
      if (gone) return
      url = shown.at === 'here' ? URL.createObjectURL(shown.blob) : null
      setFound({ url, missing: shown.at === 'here' ? null : shown.at })
    })
    return () => {
      gone = true
      if (url) URL.revokeObjectURL(url)
    }
  }, [sync, sha, width, wanted])
  return found
}

export type Reading =
  | { at: 'reading' }
  | { at: 'here'; record: JobRecord }
  | { at: 'missing'; trouble: Trouble }

const missing = (code: string, message: string, hint: string): Reading => ({
  at: 'missing',
  trouble: { code, message, hint },
})

/** A job and its log, read again whenever something kept here has changed. */
export function useRecord({ store }: Rooms, job: string): Reading {
  const [found, setFound] = useState<Reading>({ at: 'reading' })
  const changed = useChanged(store)
  useEffect(() => reading(readRecord(store, job), setFound), [store, job, changed])
  return found
}

/** Folded once for as long as the log stays as it is: a screen asks again at every change of anything. */
const folded = new Map<string, { key: string; record: JobRecord }>()

const SPEAK_AGAINST = ['lot.recalled', 'bundle.withdrawn']

async function readRecord(store: Rooms['store'], job: string): Promise<Reading> {
  const row = await store.job(job)
  if (!row) return missing('unknown-job', t(words.unknownJob), t(words.unknownJobHint))
  const bundle = await store.bundle(row.bundle)
  if (!bundle) return missing('unknown-bundle', t(words.unknownBundle), t(words.unknownBundleHint))
  const [held, against] = await Promise.all([store.log(job), store.statements(SPEAK_AGAINST)])
  const key = `${row.bundle} ${held.map(({ entry, standing, place, index }) => `${entry.id}${standing}${place}${index}`).join()} ${against.map(({ entry, standing }) => `${entry.id}${standing}`).join()}`
  const known = folded.get(job)
  if (known?.key === key) return { at: 'here', record: known.record }
  const record = jobRecord(row, bundle, held, against)
  folded.set(job, { key, record })
  return { at: 'here', record }
}
