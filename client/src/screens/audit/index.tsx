/** The audit: find a job, read it, trace a lot or a tool, check the ledger, take the evidence away. Nothing is written. */
import { Find } from '../office/find'
import { goTo } from '../office/nav'
import { PageHead, Shell } from '../office/shell'
import { whereOf } from '../office/address'
import { Damage, useFindings } from '../record/damage'
import { JobPage } from '../record/job'
import { route } from '../route'
import type { Rooms } from '../rooms'
import { TakeAway } from './bag'
import { Ledger } from './ledger'
import { Trace } from './trace'
import './audit.css'
import * as words from '../../words/en/audit/index'
import { t } from '../../words/message'

const PAGES = [
  { id: 'find', name: t(words.find) },
  { id: 'trace', name: t(words.trace) },
  { id: 'ledger', name: t(words.ledger) },
] as const
const IDS = PAGES.map(({ id }) => id)

export function Audit(rooms: Rooms) {
  const { page, item } = whereOf(route.value, 'audit', IDS)
  const findings = useFindings(rooms)
  return (
    <Shell {...rooms} pages={PAGES} room="audit" at={page}>
      {!(page === 'find' && item) && <Damage {...rooms} findings={findings} />}
      {page === 'find' &&
        (item ? (
          <JobPage
            key={item}
            {...rooms}
            job={item}
            under={(record) => <TakeAway {...rooms} record={record} />}
          />
        ) : (
          <FindPage {...rooms} />
        ))}
      {page === 'trace' && <Trace {...rooms} item={item} />}
      {page === 'ledger' && <Ledger {...rooms} />}
    </Shell>
  )
}

function FindPage(rooms: Rooms) {
  return (
    <>
      <PageHead>{t(words.findAJob)}</PageHead>
      <Find {...rooms} open={(job) => goTo('audit', 'find', job)} />
    </>
  )
}
