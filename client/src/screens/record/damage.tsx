/** The alarm: what was found altered or missing on the workshop's disk, each by its name. Nothing where nothing was found. */
import type { FindingRow, FindingsAnswer } from '../../ledger/answers'
import { useAsked } from '../office/from-server'
import type { Rooms } from '../rooms'
import { useRecord } from './fetched'
import { useSecret } from '../secret'
import { jobHref } from './links'
import type { JobRecord } from '../../work/record'
import { timeWords } from '../../work/format'
import './record.css'
import * as words from '../../words/en/record/damage'
import { t, wordsOf } from '../../words/message'

/** A disk that is gone has thousands: so many are told one by one. */
const SHOWN = 8

const FOUND = wordsOf(words.faults)

/** What it is, in the words of its procedure where that is here. */
export function nameOf(finding: FindingRow, record: JobRecord | null): string {
  const step = record?.bundle.steps.find(({ id }) => id === finding.step)
  const label = step?.proof.find(({ name }) => name === finding.name)?.label ?? finding.name
  const what = t(words.the, { what: finding.what, label: label === null ? '' : ` \u201c${label}\u201d` })
  if (finding.step === null) return what
  return t(words.ofStep, { what, step: step ? step.number || step.title : finding.step })
}

function OfJob({
  finding,
  job,
  isItsPage,
  ...rooms
}: Rooms & { finding: FindingRow; job: string; isItsPage: boolean }) {
  const reading = useRecord(rooms, job)
  const record = reading.at === 'here' ? reading.record : null
  const plate = useSecret(rooms, record?.row.plate)
  if (isItsPage) return <>{nameOf(finding, record)}</>
  return (
    <>
      {nameOf(finding, record)}, <a href={jobHref(job)}>{plate ?? record?.bundle.vehicle ?? t(words.job)}</a>,
    </>
  )
}

/** What was found in the whole workshop, or in one job. */
export function useFindings(rooms: Rooms, job?: string): readonly FindingRow[] {
  const answer = useAsked<FindingsAnswer>(rooms, '/api/findings')
  return answer?.ok ? answer.value.findings.filter((each) => job === undefined || each.job === job) : []
}

/** In two sentences: what was found, and what to do. */
export const foundWords = ({ found, found_at }: FindingRow) => ({
  fact: `${FOUND[found]}.`,
  act: t(words.found, { found_at: timeWords(found_at), found: t(words.whatToDo[found]) }),
})

export function Damage({
  findings,
  isItsPage = false,
  ...rooms
}: Rooms & { findings: readonly FindingRow[]; isItsPage?: boolean }) {
  if (findings.length === 0) return null
  return (
    <div class="damage" role="alert">
      {findings.slice(0, SHOWN).map((finding) => (
        <p key={finding.blob}>
          <b>
            {finding.job === null ? (
              nameOf(finding, null)
            ) : (
              <OfJob {...rooms} finding={finding} job={finding.job} isItsPage={isItsPage} />
            )}{' '}
            {foundWords(finding).fact}
          </b>{' '}
          {foundWords(finding).act}
        </p>
      ))}
      {findings.length > SHOWN && <p>{t(words.andMore)}</p>}
    </div>
  )
}
