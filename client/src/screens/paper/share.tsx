/** The customer's own page: made, with the photos that are chosen for it, and ended. */
import { useState } from 'preact/hooks'
import { atOf } from '../../ledger/entry'
import { encode, hex } from '../../ledger/base64url'
import { sha256 } from '../../ledger/keys'
import { openPages, type OpenPage } from '../../work/customer-page'
import { dayWords, isoDay } from '../../work/format'
import { handOver } from '../../work/hand-over'
import { capital } from '../../work/letters'
import type { JobRecord } from '../../work/record'
import { Code } from '../../parts/qr'
import { useKeeping } from '../keeping'
import type { Rooms } from '../rooms'
import { TroubleWords } from '../trouble-words'
import { handedBy } from './by'
import { madeCodes, noteCode } from './codes'
import { TextKey } from '../text-key'
import * as words from '../../words/en/paper/share'
import { t } from '../../words/message'

/** 256 bits: nobody guesses it. */
const SECRET_BYTES = 32
const DAYS = [30, 90, 365] as const
const DAY_MS = 86_400_000
/** As many as an entry names (`ledger/bodies_of_jobs.py`). */
const MOST_PHOTOS = 12

interface Chosen {
  until: string
  photos: readonly { photo: string; label: string }[]
  hasBag: boolean
}

/**
 * Signs that whoever holds the secret may read the sheet as it stands now; only the secret's hash is written.
 * @param former the page that this one takes the place of: its code opens nothing from then on
 */
async function share({ store }: Rooms, record: JobRecord, chosen: Chosen, former?: string): Promise<void> {
  const { job } = record.row
  const secret = encode(crypto.getRandomValues(new Uint8Array(SECRET_BYTES)))
  const token = hex(await sha256(new TextEncoder().encode(secret)))
  const { until, photos, hasBag } = chosen
  const rows = handOver(record, handedBy({ store }))
  let entry = ''
  await store.write(job, async (writing) => {
    if (former !== undefined) await writing.entry('page.ended', { page: former })
    const shown = photos.length > 0 ? { photos: [...photos] } : {}
    const bag = hasBag ? { bag: 'copies' as const } : {}
    entry = await writing.entry('page.shared', { token, until, rows, ...shown, ...bag })
  })
  noteCode(job, { link: `${location.origin}${location.pathname}#/page/${secret}`, until, entry })
}

const photosOf = ({ steps }: JobRecord) =>
  steps.flatMap(({ photos }) =>
    photos
      .filter(({ isEarlier }) => !isEarlier)
      .map(({ held, label }) => ({ photo: held.entry.id, label: capital(label) })),
  )

export function Share({ record, ...rooms }: Rooms & { record: JobRecord }) {
  const { trouble, keep } = useKeeping()
  const pages = openPages(record.held, new Date())
  // An auditor reads; and of two windows one alone writes.
  const mayWrite = rooms.store.writer.value && rooms.store.device.value?.role !== 'auditor'
  const code = madeCodes.value.get(record.row.job)
  const end = (entry: string) =>
    keep(() =>
      rooms.store.write(
        record.row.job,
        async (writing) => void (await writing.entry('page.ended', { page: entry })),
      ),
    )
  return (
    <section class="paper-share">
      <h2>{t(words.title)}</h2>
      <p>{t(words.whatItIs)}</p>
      <TroubleWords trouble={trouble} />
      {code && pages.some(({ entry }) => entry === code.entry) && (
        <div class="paper-made">
          <Code text={code.link} />
          <p>{t(words.scanNow)}</p>
          <p class="paper-link">{code.link}</p>
        </div>
      )}
      <ul class="paper-pages">
        {pages.map((page) => (
          <Page
            key={page.entry}
            page={page}
            acts={
              mayWrite
                ? {
                    end: () => void end(page.entry),
                    anew: () => void keep(() => share(rooms, record, page, page.entry)),
                  }
                : null
            }
          />
        ))}
      </ul>
      {mayWrite && (
        <Form photos={photosOf(record)} make={(chosen) => keep(() => share(rooms, record, chosen))} />
      )}
    </section>
  )
}

interface PageProps {
  page: OpenPage
  /** Null where this window writes nothing. */
  acts: { end: () => void; anew: () => void } | null
}

function Page({ page: { until, photos, hasBag }, acts }: PageProps) {
  return (
    <li>
      {t(words.isOpen, { until: dayWords(isoDay(new Date(until))), photos: photos.length, bag: hasBag })}{' '}
      {acts && (
        <>
          <TextKey says={t(words.anew)} onPress={acts.anew} />{' '}
          <TextKey says={t(words.end)} onPress={acts.end} />
        </>
      )}
    </li>
  )
}

function Form({
  photos,
  make,
}: {
  photos: { photo: string; label: string }[]
  make: (chosen: Chosen) => Promise<unknown>
}) {
  const [days, setDays] = useState<number>(DAYS[1])
  const [chosen, setChosen] = useState<readonly string[]>([])
  const [hasBag, setHasBag] = useState(true)
  const [isMaking, setMaking] = useState(false)
  const toggle = (photo: string) =>
    setChosen((was) => (was.includes(photo) ? was.filter((one) => one !== photo) : [...was, photo]))
  const press = async () => {
    setMaking(true)
    try {
      const until = atOf(Date.now() + days * DAY_MS)
      await make({ until, photos: photos.filter(({ photo }) => chosen.includes(photo)), hasBag })
    } finally {
      setMaking(false)
    }
  }
  return (
    <>
      <fieldset class="paper-sizes">
        <legend>{t(words.howLong)}</legend>
        {DAYS.map((each) => (
          <label key={each}>
            <input type="radio" name="days" checked={each === days} onChange={() => setDays(each)} />
            {t(words.days, { n: each })}
          </label>
        ))}
      </fieldset>
      <p class="paper-bag">
        <label>
          <input type="checkbox" checked={hasBag} onChange={() => setHasBag(!hasBag)} />
          {t(words.withBag)}
        </label>
      </p>
      {photos.length > 0 && (
        <details>
          <summary>{t(words.whichPhotos, { n: chosen.length, most: MOST_PHOTOS })}</summary>
          <ul class="paper-choose">
            {photos.map(({ photo, label }) => (
              <li key={photo}>
                <label>
                  <input
                    type="checkbox"
                    checked={chosen.includes(photo)}
                    disabled={!chosen.includes(photo) && chosen.length >= MOST_PHOTOS}
                    onChange={() => toggle(photo)}
                  />
                  {label}
                </label>
              </li>
            ))}
          </ul>
        </details>
      )}
      <button type="button" class="side-key t-key" disabled={isMaking} onClick={() => void press()}>
        {t(words.make)}
      </button>
    </>
  )
}
