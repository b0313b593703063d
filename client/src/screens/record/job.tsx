/** One job, laid out the same for desk and audit: eyes first and the belt, figures, photos, steps, entries. */
import type { ComponentChildren } from 'preact'
import type { JobNotice } from '../../ledger/answers'
import { useState } from 'preact/hooks'
import { PageHead, TroubleLine } from '../office/shell'
import type { Step } from '../../procedure/shape'
import type { Rooms } from '../rooms'
import { MakersWord } from '../../parts/makers-word'
import { wordsOf } from '../../work/makers-words'
import { Belt } from './belt'
import { OrOnlyCall, TheCall } from './call'
import { Damage, useFindings } from './damage'
import { needsEyes } from '../../work/eyes'
import { useRecord } from './fetched'
import { Figures, Photos } from './figures'
import { Answered } from './answered'
import { EyesFirst, JobName, VehicleFacts } from './head'
import { History } from './history'
import { type FoundActs, FoundSection } from './found'
import { jumpToStep } from './jump-to-step'
import { usePeople } from '../names'
import { PhotoViewer } from './photo-viewer-later'
import type { PhotoActs } from './photo-viewer'
import { Notices } from './notices'
import type { JobRecord, PhotoRecord } from '../../work/record'
import { allPhotos, refOf } from '../../work/photo-list'
import { Steps, type StepActs } from './steps'
import './record.css'
import * as words from '../../words/en/record/job'
import { t } from '../../words/message'

interface Parts {
  /** Under what asks for eyes: what this reader may do with the whole job. */
  under: (record: JobRecord) => ComponentChildren
  acts?: (record: JobRecord) => StepActs
  photoActs?: PhotoActs
  /** What this reader may do about what the workshop states against the job. */
  noticeActs?: (record: JobRecord) => (notice: JobNotice) => ComponentChildren
  /** The same about answers that nobody has read. */
  answerActs?: (record: JobRecord) => ComponentChildren
  /** What this reader may do with a finding. */
  foundActs?: FoundActs
  /** At the foot of the page. */
  last?: (record: JobRecord, isWhole: boolean) => ComponentChildren
}

export function JobPage({ job, ...rest }: Rooms & Parts & { job: string }) {
  const reading = useRecord(rest, job)
  if (reading.at === 'reading') return <p role="status">{t(words.readingTheJob)}</p>
  if (reading.at === 'missing') {
    return (
      <OrOnlyCall {...rest} job={job}>
        <PageHead>{t(words.notHereYet)}</PageHead>
        <TroubleLine trouble={reading.trouble} />
      </OrOnlyCall>
    )
  }
  return <JobShown {...rest} record={reading.record} isWhole={reading.isWhole} />
}

/** Where this job went by a maker's word instead of a house rule. */
function TakenOtherwise({ record }: { record: JobRecord }) {
  const taken = wordsOf(record.bundle)
  if (taken.length === 0) return null
  return (
    <section>
      <h2 class="phase-head">{t(words.takenOtherwise)}</h2>
      {taken.map(({ rule, steps }) => (
        <div class="question-row" key={rule.id}>
          <MakersWord rule={rule} isOpen />
          <p>{t(words.atSteps, { n: steps.length, steps: steps.map(stepName).join(', ') })}</p>
        </div>
      ))}
    </section>
  )
}

/** All photos of the job, and which of them is opened. */
function opened(record: JobRecord, { held }: PhotoRecord) {
  const photos = allPhotos(record).map(({ photo }) => refOf(photo))
  return {
    photos,
    first: Math.max(
      0,
      photos.findIndex(({ entry }) => entry === held.entry.id),
    ),
  }
}

const stepName = ({ number, title }: Step) => number || title

function JobShown({
  record,
  isWhole,
  under,
  acts,
  photoActs,
  noticeActs,
  answerActs,
  foundActs,
  last,
  ...rooms
}: Rooms & Parts & { record: JobRecord; isWhole: boolean }) {
  const [photo, openPhoto] = useState<PhotoRecord | null>(null)
  const people = usePeople(rooms)
  const findings = useFindings(rooms, record.row.job)
  const shown = { ...rooms, record, openPhoto }
  return (
    <>
      <div class="review-top">
        <div>
          <PageHead title={record.bundle.vehicle}>
            <JobName {...rooms} record={record} />
          </PageHead>
          <p class="d-text job-vehicle">{record.bundle.vehicle}</p>
          <Damage {...rooms} findings={findings} isItsPage />
          <EyesFirst {...rooms} record={record} isDamaged={findings.length > 0} />
          <Answered {...rooms} record={record} acts={answerActs} />
          <Notices {...rooms} record={record} people={people} acts={noticeActs?.(record)} />
          {under(record)}
          <FoundSection {...shown} people={people} acts={foundActs} />
          <TakenOtherwise record={record} />
          <h2 class="phase-head">{t(words.vehicle)}</h2>
          <VehicleFacts {...rooms} record={record} people={people} />
          <TheCall {...rooms} record={record} people={people} />
        </div>
        <Belt record={record} />
      </div>
      <Figures record={record} />
      <Photos {...shown} first={needsEyes} />
      <Steps {...shown} {...(acts ? { acts: acts(record) } : {})} />
      <History {...rooms} record={record} people={people} />
      {last?.(record, isWhole)}
      {photo && (
        <PhotoViewer
          {...rooms}
          {...opened(record, photo)}
          acts={photoActs}
          toStep={jumpToStep}
          onClose={() => openPhoto(null)}
        />
      )}
    </>
  )
}
