/** What is known of a photo, beside it: whose, by which clocks, how it was taken and judged, and what it proves. */
import { useEffect, useState } from 'preact/hooks'
import type { FindingRow, PageAnswer } from '../../ledger/answers'
import type { Held } from '../../store'
import { placeOfHeld, sizeWords, timeWords } from '../../work/format'
import { capital } from '../../work/letters'
import { clockWords, deviceOf, proofWords, stampOf, type Compared, type Stamp } from '../../work/photo-facts'
import type { JobRecord, PhotoRecord } from '../../work/record'
import { useStatements } from '../office/from-store'
import { usePeople } from '../names'
import type { Rooms } from '../rooms'
import { useSecret } from '../secret'
import { foundWords } from './damage'
import { sharpnessWords } from './photo-sharpness'
import { STANDS } from './stands'
import * as says from '../../words/en/record/photo-facts'
import { t } from '../../words/message'

/** When it came in is not kept in the browser: it is asked for. Null until there is an answer, or where there is none. */
function useStamp({ sync }: Rooms, { entry, index }: Held): Stamp | null {
  const [stamp, setStamp] = useState<Stamp | null>(null)
  useEffect(() => {
    setStamp(null)
    if (index === null) return undefined
    let gone = false
    void sync.ask<PageAnswer>(`/api/jobs/${entry.job}/log?since=${index}&most=1`).then((answer) => {
      const found = answer.ok && answer.value.records.find((each) => each.index === index)
      if (!gone && found) setStamp(stampOf(found.record))
    })
    return () => {
      gone = true
    }
  }, [sync, entry.job, entry.id, index])
  return stamp
}

function WhoAndDevice({ held, ...rooms }: Rooms & { held: Held }) {
  const people = usePeople(rooms)
  const statements = useStatements(rooms)
  const { entry, standing } = held
  const device = statements && deviceOf(statements, entry.device)
  const called = useSecret(rooms, device?.name ?? undefined)
  return (
    <>
      <dt>{t(says.who)}</dt>
      <dd>
        {t(says.person, {
          name: people.get(entry.person) ?? t(says.nameNotHere),
          role: device?.role ?? 'none',
        })}
      </dd>
      <dt>{t(says.device)}</dt>
      <dd>
        <span title={entry.device}>{entry.device.slice(0, 8)}</span>
        {called !== null && t(says.called, { name: called })}
        {device &&
          t(says.deviceSince, {
            since: timeWords(device.since),
            isRevoked: device.revoked !== null,
            because: device.revoked ?? '',
          })}
      </dd>
      <dt>{t(says.stands)}</dt>
      <dd class={standing === 'good' ? '' : 'act-words'}>{STANDS[standing]}</dd>
    </>
  )
}

function Clocks({ held, ...rooms }: Rooms & { held: Held }) {
  const stamp = useStamp(rooms, held)
  return (
    <>
      <dt>{t(says.taken)}</dt>
      <dd>
        {t(says.takenAt, { at: timeWords(held.entry.at) })}
        {stamp && ` ${clockWords(stamp)}.`}
      </dd>
      <dt>{t(says.received)}</dt>
      <dd>
        {held.index === null
          ? t(says.notReceived)
          : stamp
            ? t(says.receivedAt, { at: timeWords(stamp.received) })
            : t(says.receivedNotTold)}
      </dd>
    </>
  )
}

interface FactsProps {
  photo: PhotoRecord
  record: JobRecord
  compared: Compared
  finding: FindingRow | undefined
}

export function PhotoFacts({ photo, record, compared, finding, ...rooms }: Rooms & FactsProps) {
  const { body, held, label } = photo
  const { bundle } = record
  const step = bundle.steps.find(({ id }) => id === body.step)
  const proof = proofWords(photo, compared)
  return (
    <div class="photo-facts">
      {finding && (
        <p class="damage" role="alert">
          <b>{t(says.thisPhoto, { fact: foundWords(finding).fact })}</b> {foundWords(finding).act}
        </p>
      )}
      <h2 class="photo-name">{t(says.photoNamed, { label: capital(label), isEarlier: photo.isEarlier })}</h2>
      <p class="photo-proof">
        {proof.proves} <span>{proof.not}</span>
      </p>
      <dl class="facts-list d-small">
        <dt>{t(says.step)}</dt>
        <dd>
          {t(says.edition, {
            step: step ? `${step.number} ${step.title}`.trim() : body.step,
            name: bundle.name,
            edition: bundle.edition,
          })}
        </dd>
        <WhoAndDevice {...rooms} held={held} />
        <Clocks {...rooms} held={held} />
        <dt>{t(says.how)}</dt>
        <dd>{t(says.howTaken, { isLive: body.how === 'live' })}</dd>
        <dt>{t(says.sharpness)}</dt>
        <dd>{sharpnessWords(body)}</dd>
        <dt>{t(says.bytes)}</dt>
        <dd>
          {t(says.whatItIs, {
            size: sizeWords(body.size),
            hasPixels: body.width > 0,
            width: body.width,
            height: body.height,
            type: body.type,
            compared,
          })}
        </dd>
        <dt>{t(says.sha256)}</dt>
        <dd class="hash">{body.blob}</dd>
        <dt>{t(says.itsEntry)}</dt>
        <dd>
          {t(says.placeOfEntry, {
            place: placeOfHeld(held),
            isInLedger: held.index !== null,
            index: held.index ?? '',
          })}
        </dd>
      </dl>
    </div>
  )
}
