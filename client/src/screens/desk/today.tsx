/** What came in today, job by job, and the next thing to do where nothing is set up yet. */
import type { TodayAnswer } from '../../ledger/answers'
import { cameWords } from '../../work/job-stands'
import { useAsked } from '../office/from-server'
import { PageHead, TroubleLine } from '../office/shell'
import type { Rooms } from '../rooms'
import { FirstRun } from './first-run'
import { JobLines } from '../office/job-lines'
import * as says from '../../words/en/desk/today'
import { t } from '../../words/message'

/** Midnight by the clock that the page is read on. */
const midnight = (now: Date): string =>
  new Date(now.getFullYear(), now.getMonth(), now.getDate()).toISOString()

export function Today({ open, ...rooms }: Rooms & { open: (job: string) => void }) {
  const since = midnight(new Date())
  const answer = useAsked<TodayAnswer>(rooms, `/api/today?since=${since}`)
  const rows = answer?.ok ? answer.value.jobs : []
  return (
    <>
      <PageHead>
        {answer === null
          ? t(says.reading)
          : rows.length === 0
            ? t(says.nothing)
            : t(says.jobs, { n: rows.length, isMore: answer.ok && answer.value.is_more })}
      </PageHead>
      <TroubleLine trouble={answer && !answer.ok ? answer.trouble : null} />
      <JobLines
        {...rooms}
        rows={rows}
        open={open}
        last={(row) => cameWords(rows.find(({ job }) => job === row.job)!)}
      />
      {answer?.ok && rows.length === 0 && <p class="d-text">{t(says.nothingMeans)}</p>}
      <FirstRun {...rooms} />
    </>
  )
}
