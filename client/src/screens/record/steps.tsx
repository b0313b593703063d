/** A job's steps with all that was read, photographed, fitted, signed and asked. The same for desk and audit. */
import type { ComponentChildren } from 'preact'
import { useState } from 'preact/hooks'
import { Scale } from '../../parts/scale'
import { Seal, SEAL_WORDS } from '../../parts/seal'
import type { Ref } from '../../ledger/bodies'
import type { Rooms } from '../rooms'
import { useSecret } from './fetched'
import { PhotoFull, PhotoRow } from './photo'
import type { JobRecord, PhotoRecord, ReadingRecord, StepRecord } from './record'
import { hourWords } from './words'

export function Secret({ of, fallback = 'not disclosed here', ...rooms }: Rooms & { of: Ref; fallback?: string }) {
  return <>{useSecret(rooms, of) ?? fallback}</>
}

function Signature({ label, text, ...rooms }: Rooms & { label: string; text: Ref }) {
  const path = useSecret(rooms, text)
  return (
    <figure class="signature-shown">
      {path ? (
        <svg viewBox="0 0 332 200" role="img" aria-label={`Signature: ${label}`}>
          <path d={path} fill="none" stroke="var(--ink)" stroke-width="3" stroke-linecap="round" />
        </svg>
      ) : (
        <p>not disclosed here</p>
      )}
      <figcaption class="d-small">{label}</figcaption>
    </figure>
  )
}

function Reading({ reading }: { reading: ReadingRecord }) {
  const isFigure = reading.says === null && /^-?\d/.test(reading.value)
  return (
    <div class="reading-row">
      <p>
        <b class="reading-figure">{reading.says ?? reading.value}</b>
        {isFigure && reading.unit !== '1' && <span> {reading.unit}</span>}
        <span class="d-small reading-label">
          {reading.label}
          {reading.tool === undefined ? '' : `, with ${reading.tool}`}
          {reading.was === null ? '' : `; ${reading.was} before it was corrected`}
        </span>
      </p>
      {isFigure && (reading.low !== undefined || reading.high !== undefined) && (
        <Scale readings={[reading.value]} unit={reading.unit} {...(reading.low === undefined ? {} : { low: reading.low })} {...(reading.high === undefined ? {} : { high: reading.high })} {...(reading.target === undefined ? {} : { target: reading.target })} />
      )}
    </div>
  )
}

function Questions({ record, ...rooms }: Rooms & { record: StepRecord }) {
  return (
    <>
      {record.questions.map((asked) => (
        <div class="question-row">
          <p>
            <b>Asked:</b> <Secret {...rooms} of={asked.question} />
          </p>
          {asked.answers.map((answer) => (
            <p>
              <b>Answered:</b> {answer.words ? <Secret {...rooms} of={answer.words} /> : 'with the photo of this step named “answer”.'}
            </p>
          ))}
          {!asked.settled && <p class="act-words">No answer yet.</p>}
        </div>
      ))}
    </>
  )
}

export type StepActs = (record: StepRecord) => ComponentChildren

function StepBlock({ record, acts, openPhoto, ...rooms }: Rooms & { record: StepRecord; acts: StepActs | undefined; openPhoto: (photo: PhotoRecord) => void }) {
  const { step } = record
  return (
    <li class="step-block" id={`step-${step.id}`}>
      <h3>
        <Seal state={record.seal} size={34} />
        <span>
          {step.number} {step.title}
          <small class="d-small">
            {SEAL_WORDS[record.seal]}
            {record.doneAt === null ? '' : `, ${hourWords(record.doneAt)}`}
          </small>
        </span>
      </h3>
      {record.failures.map(({ says, held }) => (
        <p class="act-words">
          Did not hold at {hourWords(held.entry.at)}: {says}
        </p>
      ))}
      {record.passes.map((passed) => (
        <p class="act-words">
          Passed by: <Secret {...rooms} of={passed.because} />
        </p>
      ))}
      {record.parts.map(({ body }) => (
        <p>
          {body.part}: lot <b>{body.lot}</b>
        </p>
      ))}
      {record.readings.map((reading) => (
        <Reading reading={reading} />
      ))}
      {record.notes.map(({ text }) => (
        <p>
          Note: <Secret {...rooms} of={text} />
        </p>
      ))}
      {record.photos.length > 0 && (
        <div class="photo-rows">
          {record.photos.map((photo) => (
            <PhotoRow {...rooms} photo={photo} onOpen={() => openPhoto(photo)} />
          ))}
        </div>
      )}
      {record.signatures.map(({ label, text }) => (
        <Signature {...rooms} label={label} text={text} />
      ))}
      <Questions {...rooms} record={record} />
      {acts?.(record)}
    </li>
  )
}

export function Steps({ record, acts, ...rooms }: Rooms & { record: JobRecord; acts?: StepActs }) {
  const [open, setOpen] = useState<PhotoRecord | null>(null)
  return (
    <>
      {record.phases.map(({ name, steps }) => (
        <section>
          <h2 class="phase-head">{name}</h2>
          <ol class="step-blocks">
            {steps.map((each) => (
              <StepBlock {...rooms} record={each} acts={acts} openPhoto={setOpen} />
            ))}
          </ol>
        </section>
      ))}
      {open && <PhotoFull {...rooms} photo={open} onClose={() => setOpen(null)} />}
    </>
  )
}
