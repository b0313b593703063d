/** Where everything is that was written here: one line through three plates, and what waits. */
import { PLACE_WORDS } from '../../work/shown'
import { PlainKey } from '../../parts/keys'
import { BackKey } from './act-keys'
import { RowKey } from './rows'
import type { Counts, Trouble } from '../../store'
import type { SyncStatus } from '../../sync'
import { megabytes } from '../../sync/sizes'
import { Frame } from './frame'
import type { Rooms } from '../rooms'
import { saveFile } from '../save-file'
import type { InJob } from './in-job'
import * as says from '../../words/en/bay/places'
import { t } from '../../words/message'

const LINES = 22
const PLATE = 106
const PITCH = 113
const HEIGHT = 206

/** How many of the drawn lines reach how far; a count above nothing is never drawn as nothing. */
export function linesOf(
  counts: Pick<Counts, 'phone' | 'workshop' | 'backup'>,
): [phone: number, workshop: number, backup: number] {
  const total = counts.phone + counts.workshop + counts.backup
  const each = Math.max(1, total / LINES)
  const lines = (count: number) => (count === 0 ? 0 : Math.max(1, Math.round(count / each)))
  return [lines(counts.phone), lines(counts.workshop), lines(counts.backup)]
}

function Lines({ counts }: { counts: Counts }) {
  const [phone, workshop, backup] = linesOf(counts)
  const reach = [
    ...Array<number>(phone).fill(1),
    ...Array<number>(workshop).fill(2),
    ...Array<number>(backup).fill(3),
  ]
  const pitch = (HEIGHT - 12) / Math.max(LINES, reach.length)
  return (
    <svg class="lines" viewBox={`0 0 332 ${HEIGHT}`} width="332" height={HEIGHT} aria-hidden="true">
      {[0, 1, 2].map((i) => (
        <rect
          x={i * PITCH}
          width={PLATE}
          height={HEIGHT}
          fill="var(--seat)"
          stroke="var(--rim)"
          stroke-width="1.3"
        />
      ))}
      {reach.map((plates, i) => {
        const y = HEIGHT - 6 - (reach.length - i) * pitch
        return Array.from({ length: plates }, (_, plate) => (
          <rect
            x={plate * PITCH + (plate === 0 ? 6 : 0)}
            y={y}
            width={PLATE - (plate === 0 ? 6 : 0) - (plate === plates - 1 ? 6 : 0)}
            height={pitch / 2}
            fill="var(--paint)"
          />
        ))
      })}
    </svg>
  )
}

export function placesTitle({
  phone,
  workshop,
  photosWaiting,
}: Pick<Counts, 'phone' | 'workshop' | 'photosWaiting'>): string {
  if (phone > 0) return t(says.onlyHere, { phone })
  if (photosWaiting > 0) return t(says.photosOnlyHere, { photosWaiting })
  return workshop > 0 ? t(says.allInWorkshop) : t(says.allBackedUp)
}

const sendNote = ({ state, sent, total }: SyncStatus) =>
  state === 'sending' ? t(says.of, { sent, total }) : t(says.whenSignal)

function waitWords({ photosWaiting, bytesWaiting }: Counts): string {
  if (photosWaiting === 0) return t(says.noPhotoWaits)
  return t(says.photosWait, { photosWaiting, bytesWaiting: megabytes(bytesWaiting) })
}

interface PlacesProps {
  counts: Counts
  sync: SyncStatus
  send: () => void
  back: () => void
  /** Of a job: write it to a file, for the workshop's computer. */
  write?: () => void
  trouble?: Trouble | null
}

export function PlacesScreen({ counts, sync, send, back, write, trouble }: PlacesProps) {
  const columns = [
    [counts.phone, PLACE_WORDS.phone, t(says.phoneMeans)],
    [counts.workshop, PLACE_WORDS.workshop, t(says.workshopMeans)],
    [counts.backup, PLACE_WORDS.backup, t(says.backupMeans)],
  ] as const
  return (
    <Frame
      title={placesTitle(counts)}
      trouble={trouble}
      side={<BackKey back={back} />}
      main={
        write ? (
          <PlainKey label={t(says.writeToFile)} note={t(says.forComputer)} onPress={write} />
        ) : (
          <PlainKey label={t(says.sendNow)} note={sendNote(sync)} onPress={send} />
        )
      }
    >
      <div class="places">
        {columns.map(([count]) => (
          <span class="figure" aria-hidden="true">
            {count}
          </span>
        ))}
        <Lines counts={counts} />
        {columns.map(([count, words, more]) => (
          <p>
            <b>
              <span class="places-count">{count} </span>
              {words}
            </b>
            {more}
          </p>
        ))}
      </div>
      <p>{t(says.nothingIsFreed, { counts: waitWords(counts) })}</p>
      <p role="status">{sync.words}</p>
      {write && (
        <ul class="rows" aria-label={t(says.send)}>
          <RowKey note={sendNote(sync)} onPress={send}>
            {t(says.sendNow)}
          </RowKey>
        </ul>
      )}
    </Frame>
  )
}

export function JobPlaces({ store, sync, job, head, act, to }: InJob & { sync: Rooms['sync'] }) {
  const write = async () => {
    saveFile(await store.exportJob(job), `two-turns-${job}.zip`)
    return []
  }
  const writeNow = () => void act.run(write, t(says.written), null).catch(() => undefined) // `trouble` shows it
  return (
    <PlacesScreen
      counts={{ ...store.places.value, ...head.places }}
      sync={sync.status.value}
      send={() => void sync.now()}
      back={() => to('order')}
      write={writeNow}
      trouble={act.trouble}
    />
  )
}
