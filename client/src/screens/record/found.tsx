/** What was found in a job beside its work: what, where, the customer's word, the work for it. For desk and audit alike. */
import type { ComponentChildren } from 'preact'
import { type ExtraNow, type FoundNow, foundIn } from '../../work/found'
import { extraWords, offerWords, placeWords, stateWords, wayWords } from '../../work/found-words'
import { timeWords } from '../../work/format'
import { photoOfEntry } from '../../work/photo-list'
import type { JobRecord, PhotoRecord } from '../../work/record'
import { namesWords } from '../names'
import type { Rooms } from '../rooms'
import { type OpenPhoto, PhotoSmall } from './photo'
import { Secret, Signature } from './steps'
import * as words from '../../words/en/record/found'
import { t } from '../../words/message'

export type FoundActs = (record: JobRecord, found: FoundNow) => ComponentChildren

interface SectionProps extends Rooms {
  record: JobRecord
  people: ReadonlyMap<string, string>
  openPhoto: OpenPhoto
  acts?: FoundActs | undefined
}

export function FoundSection({ record, ...shown }: SectionProps) {
  const { found, offers } = foundIn(record.held, record.bundle)
  if (found.length + offers.length === 0) return null
  return (
    <section>
      <h2 class="phase-head">{t(words.whatWasFound)}</h2>
      {offers.map((offer) => (
        <div class="question-row" key={offer.entry}>
          <p>
            <b>{offerWords(offer)}</b> {t(words.notNoted)}
          </p>
        </div>
      ))}
      {found.map((one) => (
        <OneFound key={one.entry} {...shown} record={record} found={one} />
      ))}
    </section>
  )
}

function OneFound({ record, found, people, openPhoto, acts, ...rooms }: SectionProps & { found: FoundNow }) {
  const photo = found.photo === null ? null : photoOfEntry(record, found.photo)
  return (
    <div class="question-row">
      <p>
        <b>{found.words ? <Secret {...rooms} of={found.words} /> : (found.offered ?? placeWords(found))}</b>{' '}
        {stateWords(found)}
      </p>
      <p class="d-small">
        {t(words.notedBy, {
          place: placeWords(found),
          who: namesWords([found.person], people),
          at: timeWords(found.at),
        })}
      </p>
      <OnePhoto {...rooms} photo={photo} openPhoto={openPhoto} />
      <Answers {...rooms} found={found} people={people} />
      {found.extras.map((extra) => (
        <Extra key={extra.entry} {...rooms} record={record} openPhoto={openPhoto} extra={extra} />
      ))}
      {found.settled?.body.words && (
        <p>
          <b>{t(words.settled)}</b> <Secret {...rooms} of={found.settled.body.words} />
        </p>
      )}
      {acts?.(record, found)}
    </div>
  )
}

/** As small as those of the steps are. */
const OnePhoto = ({
  photo,
  openPhoto,
  ...rooms
}: Rooms & { photo: PhotoRecord | null; openPhoto: OpenPhoto }) =>
  photo && (
    <div class="photo-rows">
      <PhotoSmall {...rooms} photo={{ ...photo, label: t(words.itsPhoto) }} onOpen={openPhoto} />
    </div>
  )

function Answers({
  found,
  people,
  ...rooms
}: Rooms & { found: FoundNow; people: ReadonlyMap<string, string> }) {
  return (
    <>
      {found.answers.map(({ id, body, person, at }) => (
        <div key={id}>
          <p>
            <b>{t(words.customerSays, { answer: body.answer, how: wayWords(body.how) })}</b>{' '}
            {body.words && <Secret {...rooms} of={body.words} />}{' '}
            <span class="d-small">
              {t(words.writtenBy, { who: namesWords([person], people), at: timeWords(at) })}
            </span>
          </p>
          {body.signature && (
            <Signature {...rooms} label={t(words.customersSignature)} text={body.signature} />
          )}
        </div>
      ))}
    </>
  )
}

function Extra({
  extra,
  record,
  openPhoto,
  ...rooms
}: Rooms & { extra: ExtraNow; record: JobRecord; openPhoto: OpenPhoto }) {
  const done = extra.done?.body
  const photo = done?.photo === undefined ? null : photoOfEntry(record, done.photo)
  return (
    <div>
      <p>
        <b>{t(words.extra)}</b> <Secret {...rooms} of={extra.what} /> ({extraWords(extra)})
        {done?.value !== undefined && ` ${t(words.read, { value: done.value, unit: done.unit ?? '' })}`}
      </p>
      {done?.words && (
        <p>
          <Secret {...rooms} of={done.words} />
        </p>
      )}
      <OnePhoto {...rooms} photo={photo} openPhoto={openPhoto} />
    </div>
  )
}
