/** The audit: find a job, read it, look at a photo full size, check the ledger, take the evidence away. Nothing is written. */
import { goTo } from '../desk/nav'
import { whereOf } from '../desk/where'
import { Find } from '../desk/find'
import { PageHead, Shell, TroubleLine } from '../desk/shell'
import { useRecord } from '../record/fetched'
import { Belt } from '../record/belt'
import { EyesFirst, VehicleFacts } from '../record/head'
import { Steps } from '../record/steps'
import { route } from '../route'
import type { Rooms } from '../rooms'
import { TakeAway } from './bag'
import { Ledger } from './ledger'

const PAGES = [
  { id: 'find', name: 'Find' },
  { id: 'ledger', name: 'Ledger' },
] as const
const IDS = PAGES.map(({ id }) => id)

export function Audit(rooms: Rooms) {
  const { page, item } = whereOf(route.value, 'audit', IDS)
  const open = (job: string) => goTo('audit', 'find', job)
  return (
    <Shell {...rooms} pages={PAGES} room="audit" at={page}>
      {page === 'ledger' ? (
        <Ledger {...rooms} />
      ) : item ? (
        <JobPage key={item} {...rooms} job={item} />
      ) : (
        <>
          <PageHead>Find a job</PageHead>
          <Find {...rooms} open={open} />
        </>
      )}
    </Shell>
  )
}

function JobPage({ job, ...rooms }: Rooms & { job: string }) {
  const reading = useRecord(rooms, job)
  if (reading.at === 'reading') return <p role="status">Reading the job.</p>
  if (reading.at === 'missing') {
    return (
      <>
        <PageHead>The job is not here yet</PageHead>
        <TroubleLine trouble={reading.trouble} />
      </>
    )
  }
  const { record } = reading
  return (
    <>
      <div class="review-top">
        <div>
          <PageHead>{record.bundle.vehicle}</PageHead>
          <VehicleFacts {...rooms} record={record} />
          <h2 class="phase-head">Eyes first</h2>
          <EyesFirst record={record} />
          <TakeAway {...rooms} record={record} />
        </div>
        <Belt record={record} />
      </div>
      <Steps {...rooms} record={record} />
    </>
  )
}
