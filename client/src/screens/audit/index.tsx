/** The audit: all jobs, one of them, samples, findings, a lot or a tool traced, the ledger; the evidence taken away. */
import { Find } from '../office/find'
import { goTo } from '../office/nav'
import { PageHead, Shell } from '../office/shell'
import { whereOf } from '../office/address'
import { Damage, useFindings } from '../record/damage'
import { JobPage } from '../record/job'
import { Photos } from '../photos-later'
import { route } from '../route'
import type { Rooms } from '../rooms'
import { Competence } from './competence'
import { Findings, FindingsOfJob } from './findings'
import { Jobs } from './jobs'
import { Ledger } from './ledger'
import { Samples } from './samples'
import { Take } from './take'
import { Trace } from './trace'
import './audit.css'
import * as words from '../../words/en/audit/index'
import { namesOf, t } from '../../words/message'

const PAGES = namesOf(words.pages)
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
            under={({ row }) => <Take {...rooms} jobs={[row.job]} />}
            last={(record) => (
              <>
                <Competence {...rooms} record={record} />
                <FindingsOfJob {...rooms} job={record.row.job} />
              </>
            )}
          />
        ) : (
          <FindPage {...rooms} />
        ))}
      {page === 'photos' && <Photos {...rooms} room="audit" item={item} />}
      {page === 'jobs' && <Jobs {...rooms} />}
      {page === 'samples' && <Samples {...rooms} item={item} />}
      {page === 'findings' && <Findings {...rooms} />}
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
