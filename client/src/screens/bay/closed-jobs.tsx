/** Jobs that are closed: they stay on this phone, and open for reading. */
import { useEffect, useState } from 'preact/hooks'
import { PlainKey, SideKey } from '../../parts/keys'
import { dayWords, isoDay } from '../../work/format'
import { reading } from '../reading'
import type { Rooms } from '../rooms'
import { Frame } from './frame'
import { RowKey } from './rows'
import * as says from '../../words/en/bay/closed-jobs'
import { t } from '../../words/message'

interface ClosedLine {
  job: string
  name: string
  plate: string
  at: string
}

/** The newest first. */
async function loadClosed(store: Rooms['store']): Promise<ClosedLine[]> {
  const closed = (await store.jobs()).filter(({ end }) => end !== null)
  const lines = closed.map(async ({ job, bundle, engineCode, end, lastAt, plate }) => {
    const its = await store.bundle(bundle)
    return {
      job,
      name: t(says.endOf, {
        vehicle: its?.vehicle ?? engineCode,
        end: its?.ends.find(({ id }) => id === end)?.name ?? end ?? '',
      }),
      plate: (await store.secretValue(plate)) ?? '',
      at: lastAt,
    }
  })
  return (await Promise.all(lines)).sort((a, b) => (a.at < b.at ? 1 : -1))
}

interface ClosedProps extends Rooms {
  goTo: (job: string) => void
  back: () => void
  openJob: () => void
}

export function ClosedJobs({ store, goTo, back, openJob }: ClosedProps) {
  const [lines, setLines] = useState<ClosedLine[] | null>(null)
  const changed = store.changed.value
  useEffect(() => reading(loadClosed(store), setLines), [store, changed])
  if (lines === null) return <main class="bay" aria-busy="true" />
  return (
    <Frame
      title={t(says.closedJobs, { n: lines.length })}
      side={<SideKey icon="lines" label={t(says.openJobs)} onPress={back} />}
      main={<PlainKey label={t(says.openAJob)} onPress={openJob} />}
    >
      <ul class="rows" aria-label={t(says.closed)}>
        {lines.map(({ job, name, plate, at }) => (
          <RowKey key={job} note={dayWords(isoDay(new Date(at)))} onPress={() => goTo(job)}>
            <b>{plate}</b> {name}
          </RowKey>
        ))}
      </ul>
    </Frame>
  )
}
