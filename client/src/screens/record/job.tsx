/** One job, laid out the same for desk and audit: eyes first and the belt, figures, photos, steps, entries. */
import type { ComponentChildren } from 'preact'
import { useState } from 'preact/hooks'
import { PageHead, TroubleLine } from '../office/shell'
import type { Step } from '../../procedure/shape'
import type { Rooms } from '../rooms'
import { MakersWord } from '../../parts/makers-word'
import { wordsOf } from '../../work/makers-words'
import { Belt } from './belt'
import { Damage, useFindings } from './damage'
import { needsEyes } from '../../work/eyes'
import { useRecord } from './fetched'
import { Figures, Photos } from './figures'
import { EyesFirst, JobName, VehicleFacts } from './head'
import { History } from './history'
import { usePeople } from '../names'
import { PhotoFull } from './photo'
import type { JobRecord, PhotoRecord } from '../../work/record'
import { Steps, type StepActs } from './steps'
import './record.css'
import * as words from '../../words/en/record/job'
import { t } from '../../words/message'

interface Parts {
  /** Under what asks for eyes: what this reader may do with the whole job. */
  under: (record: JobRecord) => ComponentChildren
  acts?: (record: JobRecord) => StepActs
  /** At the foot of the page. */
  last?: (record: JobRecord) => ComponentChildren
}

export function JobPage({ job, ...rest }: Rooms & Parts & { job: string }) {
  const reading = useRecord(rest, job)
  if (reading.at === 'reading') return <p role="status">{t(words.readingTheJob)}</p>
  if (reading.at === 'missing') {
    return (
      <>
        <PageHead>{t(words.notHereYet)}</PageHead>
        <TroubleLine trouble={reading.trouble} />
      </>
    )
  }
  return <JobShown {...rest} record={reading.record} />
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

const stepName = ({ number, title }: Step) => number || title

function JobShown({ record, under, acts, last, ...rooms }: Rooms & Parts & { record: JobRecord }) {
  const [photo, openPhoto] = useState<PhotoRecord | null>(null)
  const people = usePeople(rooms)
  const findings = useFindings(rooms, record.row.job)
  const shown = { ...rooms, record, openPhoto }
  return (
    <>
      <div class="review-top">
        <div>
          <PageHead>
            <JobName {...rooms} record={record} />
          </PageHead>
          <p class="d-text job-vehicle">{record.bundle.vehicle}</p>
          <Damage {...rooms} findings={findings} isItsPage />
          <EyesFirst {...rooms} record={record} isDamaged={findings.length > 0} />
          {under(record)}
          <TakenOtherwise record={record} />
          <h2 class="phase-head">{t(words.vehicle)}</h2>
          <VehicleFacts {...rooms} record={record} people={people} />
        </div>
        <Belt record={record} />
      </div>
      <Figures record={record} />
      <Photos {...shown} first={needsEyes} />
      <Steps {...shown} {...(acts ? { acts: acts(record) } : {})} />
      <History {...rooms} record={record} people={people} />
      {last?.(record)}
      {photo && (
        <PhotoFull
          {...rooms}
          photo={photo}
          finding={findings.find(({ blob }) => blob === photo.body.blob)}
          bundle={record.bundle}
          onClose={() => openPhoto(null)}
        />
      )}
    </>
  )
}
