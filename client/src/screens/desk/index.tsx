/** The desk: the owner's screens. What needs eyes first, all jobs, one job. */
import { useState } from 'preact/hooks'
import { route } from '../route'
import type { Rooms } from '../rooms'
import { useAsked } from './asked'
import { Beside, Eyes } from './eyes'
import { eyesFirst, type DeskRow } from './eyes-order'
import { Find, JobTable } from './find'
import { goTo } from './nav'
import { whereOf } from './where'
import { Review } from './review'
import { PageHead, Shell } from './shell'

const PAGES = [
  { id: 'eyes', name: 'Eyes first' },
  { id: 'jobs', name: 'Jobs' },
] as const
const IDS = PAGES.map(({ id }) => id)

export function Desk(rooms: Rooms) {
  const { page, item } = whereOf(route.value, 'desk', IDS)
  const answer = useAsked<{ jobs: DeskRow[] }>(rooms, '/api/desk')
  const rows = answer?.ok ? answer.value.jobs : []
  const open = (job: string) => goTo('desk', 'jobs', job)
  if (page === 'jobs') {
    return (
      <Shell {...rooms} pages={PAGES} room="desk" at="jobs">
        {item ? <Review key={item} {...rooms} job={item} /> : <Jobs {...rooms} rows={rows} open={open} />}
      </Shell>
    )
  }
  return <EyesPage {...rooms} answer={answer} rows={rows} open={open} />
}

function EyesPage({ answer, rows, open, ...rooms }: Rooms & { answer: ReturnType<typeof useAsked<{ jobs: DeskRow[] }>>; rows: DeskRow[]; open: (job: string) => void }) {
  const [wish, choose] = useState<string | null>(null)
  const { lines, whole } = eyesFirst(rows)
  const chosen = lines.find(({ row }) => row.job === wish)?.row ?? lines[0]?.row ?? whole[0]
  return (
    <Shell {...rooms} pages={PAGES} room="desk" at="eyes" aside={chosen && <Beside key={chosen.job} {...rooms} job={chosen.job} row={chosen} open={() => open(chosen.job)} />}>
      <Eyes {...rooms} answer={answer} lines={lines} whole={whole} chosen={chosen?.job ?? null} choose={choose} />
    </Shell>
  )
}

function Jobs({ rows, open, ...rooms }: Rooms & { rows: DeskRow[]; open: (job: string) => void }) {
  return (
    <>
      <PageHead>Jobs</PageHead>
      <Find {...rooms} open={open} />
      <h2 class="phase-head">Last heard of</h2>
      <JobTable rows={rows.map((row) => ({ ...row, is_closed: row.state !== 'open' }))} open={open} />
    </>
  )
}
