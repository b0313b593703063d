/** A job's steps with all that was read, photographed, fitted, signed and asked. The same for desk and audit. */
import type { ComponentChildren } from 'preact'
import { useEffect, useRef, useState } from 'preact/hooks'
import type { Ref } from '../../ledger/bodies'
import { Seal, SEAL_WORDS } from '../../parts/seal'
import type { Rooms } from '../rooms'
import { needsEyes } from '../../work/eyes'
import { useSecret } from '../secret'
import { Figure } from './figures'
import { TracedName } from './links'
import { PhotoSmall, type OpenPhoto } from './photo'
import type { JobRecord, PhotoRecord, StepRecord } from '../../work/record'
import { hourWords } from '../../work/format'
import { TextKey } from '../text-key'
import * as words from '../../words/en/record/steps'
import { pieces, t } from '../../words/message'

export function Secret({
  of,
  fallback = t(words.notDisclosedHere),
  ...rooms
}: Rooms & { of: Ref; fallback?: string }) {
  return <>{useSecret(rooms, of) ?? fallback}</>
}

export function Signature({ label, text, ...rooms }: Rooms & { label: string; text: Ref }) {
  const path = useSecret(rooms, text)
  return (
    <figure class="signature-shown">
      {path ? (
        <svg viewBox="0 0 332 200" role="img" aria-label={t(words.signature, { label })}>
          <path d={path} fill="none" stroke="var(--ink)" stroke-width="3" stroke-linecap="round" />
        </svg>
      ) : (
        <p>{t(words.notDisclosedHere)}</p>
      )}
      <figcaption class="d-small">{label}</figcaption>
    </figure>
  )
}

type Showing = Rooms & { record: StepRecord; openPhoto: OpenPhoto }

function OnePhoto({
  photo,
  openPhoto,
  ...rooms
}: Rooms & { photo: PhotoRecord | null; openPhoto: OpenPhoto }) {
  return photo && <PhotoSmall {...rooms} photo={photo} onOpen={openPhoto} />
}

function Questions({ record, openPhoto, ...rooms }: Showing) {
  return (
    <>
      {record.questions.map((asked) => (
        <div class="question-row" key={asked.held.entry.id}>
          <p>
            <b>{t(words.asked)}</b> <Secret {...rooms} of={asked.question} />
          </p>
          <OnePhoto {...rooms} photo={asked.photo} openPhoto={openPhoto} />
          {asked.answers.map((answer) => (
            <div key={answer.held.entry.id}>
              <p>
                <b>{t(words.answered)}</b>{' '}
                {answer.words ? <Secret {...rooms} of={answer.words} /> : t(words.withAPhoto)}
              </p>
              <OnePhoto {...rooms} photo={answer.photo} openPhoto={openPhoto} />
            </div>
          ))}
          {!asked.settled && <p class="act-words">{t(words.noAnswerYet)}</p>}
          {asked.settled && asked.answers.length === 0 && <p>{t(words.settledUnanswered)}</p>}
        </div>
      ))}
    </>
  )
}

function Exceptions({ record, openPhoto, ...rooms }: Showing) {
  return (
    <>
      {record.failures.map(({ says, held }) => (
        <p class="act-words" key={held.entry.id}>
          {t(words.didNotHoldAt, { at: hourWords(held.entry.at), says })}
        </p>
      ))}
      {record.passes.map((passed) => (
        <div class="question-row" key={passed.because.blob}>
          <p>
            <b>{t(words.passedBy)}</b> {passed.rule}
          </p>
          <p>
            <b>{t(words.because)}</b> <Secret {...rooms} of={passed.because} />
          </p>
          <OnePhoto {...rooms} photo={passed.photo} openPhoto={openPhoto} />
        </div>
      ))}
      {record.gaps.map(({ held, because }) => (
        <p key={held.entry.id}>
          <b>{t(words.gapWasAccepted)}</b> <Secret {...rooms} of={because} />
        </p>
      ))}
    </>
  )
}

function Given({ record, openPhoto, ...rooms }: Showing) {
  return (
    <>
      {record.parts.map(({ body, held, recalled }) => (
        <p key={held.entry.id}>
          {pieces(words.lot, {
            part: body.part,
            lot: <TracedName by="lot" name={body.lot} />,
            hasSerial: body.serial !== undefined,
            serial: body.serial ?? '',
            isScanned: body.code !== undefined,
            recalled: recalled !== null && <span class="act-words">{t(words.recalled, { recalled })}</span>,
          })}
        </p>
      ))}
      {record.readings.map((reading) => (
        <Figure key={reading.held.entry.id} reading={reading} />
      ))}
      {record.notes.map(({ text, held }) => (
        <p key={held.entry.id}>{pieces(words.note, { text: <Secret {...rooms} of={text} /> })}</p>
      ))}
      {record.photos.length > 0 && (
        <div class="photo-rows">
          {record.photos.map((photo) => (
            <PhotoSmall {...rooms} key={photo.held.entry.id} photo={photo} onOpen={openPhoto} />
          ))}
        </div>
      )}
      {record.signatures.map(({ label, text, held }) => (
        <Signature {...rooms} key={held.entry.id} label={label} text={text} />
      ))}
    </>
  )
}

/** What was given in a step, asked about it and written of it: what stands behind its row. */
export function StepInside(shown: Showing) {
  return (
    <>
      <Exceptions {...shown} />
      <Questions {...shown} />
      <Given {...shown} />
    </>
  )
}

export type StepActs = (record: StepRecord) => ComponentChildren

/** What stands behind a closed step, in a few words. */
function holdsWords({ readings, photos, parts, questions }: StepRecord): string {
  const said = readings.slice(0, 2).map(({ label, says, value, unit }) =>
    t(words.reading, {
      label,
      value: says ?? value,
      unit: unit === '1' || says !== null ? '' : unit,
    }).trim(),
  )
  const more =
    readings.length > said.length ? [t(words.more, { readings: readings.length - said.length })] : []
  const lots = parts.map(({ body }) => t(words.partAndLot, { part: body.part, lot: body.lot }))
  const pictures = photos.length > 0 ? [t(words.photos, { n: photos.length })] : []
  const asked = questions.length > 0 ? [t(words.questions, { n: questions.length })] : []
  return [...said, ...more, ...lots, ...pictures, ...asked].join('; ')
}

function StepBlock({ acts, ...shown }: Showing & { acts: StepActs | undefined }) {
  const { record } = shown
  const { step } = record
  const isAsking = needsEyes(record)
  const [isOpen, setOpen] = useState(isAsking)
  // It opens by itself and never closes by itself: somebody may be reading it when its question is settled.
  useEffect(() => {
    if (isAsking) setOpen(true)
  }, [isAsking])
  return (
    <li class="step-block" id={`step-${step.id}`}>
      <details open={isOpen} onToggle={(event) => setOpen(event.currentTarget.open)}>
        <summary>
          <Seal state={record.seal} size={34} />
          <h3>
            {step.number} {step.title}
          </h3>
          <span class="d-small">{holdsWords(record)}</span>
          <span class="d-small step-when">
            {SEAL_WORDS[record.seal]}
            {record.doneAt === null ? '' : `, ${hourWords(record.doneAt)}`}
          </span>
        </summary>
        <div class="step-inside">
          <StepInside {...shown} />
          {acts?.(record)}
        </div>
      </details>
    </li>
  )
}

export function Steps({
  record,
  acts,
  openPhoto,
  ...rooms
}: Rooms & { record: JobRecord; acts?: StepActs; openPhoto: OpenPhoto }) {
  const all = useRef<HTMLDivElement>(null)
  const turn = (open: boolean) => {
    for (const each of all.current?.querySelectorAll('details') ?? []) each.open = open
  }
  return (
    <div ref={all}>
      <div class="steps-head">
        <h2 class="phase-head">{t(words.stepByStep)}</h2>
        <p class="step-acts">
          <TextKey says={t(words.openEveryStep)} onPress={() => turn(true)} />
          <TextKey says={t(words.closeEveryStep)} onPress={() => turn(false)} />
        </p>
      </div>
      {record.phases.map(({ name, steps }) => (
        <section key={name}>
          <h2 class="step-phase">{name}</h2>
          <ol class="step-blocks">
            {steps.map((each) => (
              <StepBlock {...rooms} key={each.step.id} record={each} acts={acts} openPhoto={openPhoto} />
            ))}
          </ol>
        </section>
      ))}
    </div>
  )
}
