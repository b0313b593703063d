/** The first screen: open jobs, what the owner asks before all else, and one key that opens a job. */
import { useEffect, useState } from 'preact/hooks'
import { PlacePlates, placeOf, placeWords } from '../../parts/place'
import { PlainKey, SideKey } from '../../parts/keys'
import { Seal } from '../../parts/seal'
import type { JobRow } from '../../store'
import type { Rooms } from '../rooms'
import { Calls, PlanLine, planOf } from './chunks'
import { Frame } from './frame'
import type { JobNow } from '../../work/job'
import { lower } from '../../work/letters'
import { readJob, readStatements } from './read-job'
import type { AppointmentNow } from '../../work/appointments'
import { unsettled } from '../../work/recalls'
import * as says from '../../words/en/bay/jobs'
import { t } from '../../words/message'
import { reading } from '../reading'

interface JobLine {
  row: JobRow
  now: JobNow | null
  plate: string | null
  /** Null where nothing is planned. */
  plan: AppointmentNow | null
}

const doneOf = (now: JobNow) =>
  now.steps.filter(({ step, seal }) => step.number !== '' && (seal === 'holds' || seal === 'passed')).length
const countOf = (now: JobNow) => now.steps.filter(({ step }) => step.number !== '').length

const isDone = ({ current, look, ending, blocked, recalled }: JobNow) =>
  !current && !look && !ending && blocked === null && unsettled(recalled).length === 0

/** What a job wants next, in one line. */
export function wantWords({ now, row }: JobLine): string {
  if (!now) return t(says.procedureMissing)
  const asked = now.questions.length
  if (asked > 0) return t(says.ownerAsks, { asked })
  if (row.end !== null) return t(says.closed)
  const next = now.current
  if (now.look) return lower(now.look.label)
  if (now.ending && !next) return t(says.toBeEnded, { name: now.ending.name })
  if (now.blocked !== null) return t(says.noWayOn)
  if (next) return `${next.step.number} ${next.step.title}`.trim()
  const [stops] = unsettled(now.recalled)
  return stops ? t(says.lotRecalled, { lot: stops.recall.lot }) : t(says.allDone)
}

/** Today: what the owner asks, then what is mine or nobody's, parked last; of these what is promised sooner, then what was worked on last. */
export function inOrder(lines: readonly JobLine[], own?: string): JobLine[] {
  const place = ({ now, plan }: JobLine): string =>
    [
      now && now.questions.length > 0 ? 0 : 1,
      plan?.person && plan.person !== own ? 1 : 0,
      plan?.parked ? 1 : 0,
      plan?.promised ?? '~', // above all digits: what is promised comes first
    ].join(' ')
  const byText = (a: string, b: string) => (a < b ? -1 : a > b ? 1 : 0)
  return [...lines].sort((a, b) => byText(place(a), place(b)) || byText(b.row.lastAt, a.row.lastAt))
}

/** Open jobs, and closed ones about which the owner still asks something. */
async function loadLines(store: Rooms['store']): Promise<{ lines: JobLine[]; closed: number }> {
  const [rows, statements] = await Promise.all([store.jobs(), readStatements(store)])
  const lines = await Promise.all(
    rows
      .filter((row) => !row.approved)
      .map(async (row) => {
        const now = await readJob(store, row, statements)
        const plan = now && row.end === null ? await planOf(now.held) : null
        return { row, now, plan, plate: await store.secretValue(row.plate) }
      }),
  )
  const wanted = lines.filter(({ row, now }) => row.end === null || (now?.questions.length ?? 0) > 0)
  return {
    lines: inOrder(wanted, store.device.value?.person),
    closed: rows.filter(({ end }) => end !== null).length,
  }
}

function JobKey({ line, own, open }: { line: JobLine; own: string | undefined; open: () => void }) {
  const { now, row, plate } = line
  const asked = (now?.questions.length ?? 0) > 0
  return (
    <li>
      <button type="button" class="row-key" onClick={open}>
        <Seal state={asked ? 'now' : now && isDone(now) ? 'holds' : 'todo'} size={40} />
        <span class="row-words">
          <b>{now?.bundle.vehicle ?? row.engineCode}</b> {plate ?? ''}
          <small>
            {now
              ? t(says.atAndHold, { bay: row.bay, done: doneOf(now), count: countOf(now) })
              : t(says.at, { bay: row.bay })}
          </small>
          {line.plan && <PlanLine plan={line.plan} own={own} />}
          {wantWords(line)}
        </span>
      </button>
    </li>
  )
}

interface JobsProps extends Rooms {
  openJob: () => void
  goTo: (job: string) => void
  settings: () => void
  places: () => void
  closed: () => void
}

export function JobsScreen(props: JobsProps) {
  const { store, sync } = props
  const [found, setFound] = useState<Awaited<ReturnType<typeof loadLines>> | null>(null)
  const changed = store.changed.value
  useEffect(() => reading(loadLines(store), setFound), [store, changed])
  const places = store.places.value
  const { photosWaiting } = places
  if (found === null) return <main class="bay" aria-busy="true" /> // not 'No open job': that is not known yet
  const { lines, closed } = found
  const open = lines.filter(({ row }) => row.end === null).length
  return (
    <Frame
      title={open ? t(says.openJobs, { open }) : t(says.noOpenJob)}
      trouble={sync.alarm.value ?? store.trouble.value}
      side={<SideKey icon="hand" label={t(says.thisPhone)} onPress={props.settings} />}
      main={
        <PlainKey
          label={t(says.openAJob)}
          note={store.device.value?.workshopName ?? ''}
          onPress={props.openJob}
        />
      }
    >
      <ul class="rows" aria-label={t(says.jobs)}>
        {lines.map((line) => (
          <JobKey
            key={line.row.job}
            line={line}
            own={store.device.value?.person}
            open={() => props.goTo(line.row.job)}
          />
        ))}
        <Calls store={store} />
        {closed > 0 && (
          <li>
            <button type="button" class="row-key" onClick={props.closed}>
              <span class="row-words">{t(says.closedJobs, { closed })}</span>
            </button>
          </li>
        )}
      </ul>
      {store.counted.value && (
        <button type="button" class="row-key at-foot" onClick={props.places}>
          <PlacePlates place={photosWaiting > 0 ? 'phone' : placeOf(places)} />
          <span class="row-words">
            {photosWaiting > 0
              ? t(says.withPhotos, { phone: places.phone, photos: photosWaiting })
              : placeWords(places)}
            <small>{sync.status.value.words}</small>
          </span>
        </button>
      )}
    </Frame>
  )
}
