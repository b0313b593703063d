/** Photos of the record, gone through one by one or two beside each other, with what is known of each. */
import type { ComponentChildren } from 'preact'
import { useEffect, useRef, useState } from 'preact/hooks'
import type { FindingRow } from '../../ledger/answers'
import { blobId } from '../../ledger/private'
import type { Compared } from '../../work/photo-facts'
import { fileNameOf, photoOfEntry, type PhotoRef } from '../../work/photo-list'
import type { JobRecord, PhotoRecord } from '../../work/record'
import { TroubleLine } from '../office/shell'
import { reading } from '../reading'
import type { Rooms } from '../rooms'
import { saveFile } from '../save-file'
import { useFindings } from './damage'
import { usePicture, useRecord, type Picture } from './fetched'
import { jobHref } from './links'
import { useMissing } from './photo'
import { PhotoFacts } from './photo-facts'
import { PhotoStage } from './photo-stage'
import './photo-viewer.css'
import { TextKey } from '../text-key'
import * as says from '../../words/en/record/photo-viewer'
import { t } from '../../words/message'

/** What may be done with a photo by whoever looks at it. */
export type PhotoActs = (photo: PhotoRecord, record: JobRecord) => ComponentChildren

interface ViewerProps {
  photos: readonly PhotoRef[]
  /** Which of them is opened first. */
  first: number
  /** Which of them stands beside it from the beginning. */
  beside?: number | undefined
  onClose: () => void
  acts?: PhotoActs | undefined
  /** Where the page shows the steps of the photo's job; else a link leads to the job. */
  toStep?: ((step: string) => void) | undefined
}

const hashesTo = async (bytes: Blob, blob: string): Promise<Compared> =>
  (await blobId(new Uint8Array(await bytes.arrayBuffer()))) === blob ? 'same' : 'damaged'

/** Here as well where sync has done so: what lies on this device may have been altered there. */
function useCompared(blob: string, { bytes, missing }: Picture): Compared {
  const [compared, setCompared] = useState<Compared>('coming')
  useEffect(() => {
    setCompared('coming')
    return bytes ? reading(hashesTo(bytes, blob), setCompared) : undefined
  }, [bytes, blob])
  if (bytes) return compared
  return missing === 'damaged' ? 'damaged' : missing ? 'not-here' : 'coming'
}

const isTyping = ({ target }: KeyboardEvent) =>
  target instanceof HTMLTextAreaElement || target instanceof HTMLInputElement

export function PhotoViewer({
  photos: opened,
  first,
  beside,
  onClose,
  acts,
  toStep,
  ...rooms
}: Rooms & ViewerProps) {
  // Those that there were when it was opened: one that comes in meanwhile must not put another in the place of what is looked at.
  const [photos] = useState(opened)
  const dialog = useRef<HTMLDialogElement>(null)
  const [at, go] = useState(first)
  const [kept, keep] = useState<number | null>(beside ?? null)
  const findings = useFindings(rooms)
  useEffect(() => dialog.current?.showModal(), [])
  const shown = kept === null ? [at] : [kept, at]
  const by = (steps: number) => go((now) => Math.min(Math.max(now + steps, 0), photos.length - 1))
  const onKeyDown = (event: KeyboardEvent) => {
    const steps = { ArrowLeft: -1, ArrowRight: 1 }[event.key]
    if (event.defaultPrevented || event.shiftKey || event.altKey || event.ctrlKey || event.metaKey) return
    if (steps === undefined || isTyping(event)) return
    event.preventDefault()
    by(steps)
  }
  const leadTo =
    toStep &&
    ((step: string) => {
      dialog.current?.close()
      // After the closing has given the focus back to the small photo.
      setTimeout(() => toStep(step))
    })
  return (
    <dialog
      ref={dialog}
      class="photo-viewer"
      aria-label={t(says.photos)}
      onClose={onClose}
      onKeyDown={onKeyDown}
    >
      <p class="step-acts photo-keys">
        <TextKey says={t(says.close)} onPress={() => dialog.current?.close()} />
        <button type="button" class="text-key" aria-disabled={at === 0} onClick={() => by(-1)}>
          {t(says.previous)}
        </button>
        <button type="button" class="text-key" aria-disabled={at === photos.length - 1} onClick={() => by(1)}>
          {t(says.next)}
        </button>
        <button
          type="button"
          class="text-key"
          aria-pressed={kept !== null}
          onClick={() => keep(kept === null ? at : null)}
        >
          {t(says.compare)}
        </button>
        <span class="d-small" role="status">
          {t(says.place, { at: at + 1, all: photos.length, isBeside: kept !== null, kept: (kept ?? 0) + 1 })}
        </span>
      </p>
      <div class={`photo-pair ${kept === null ? '' : 'photo-beside'}`}>
        {shown.map((index, place) => (
          <OnePhoto
            {...rooms}
            key={`${place} ${photos[index]!.entry}`}
            of={photos[index]!}
            isFirst={place === shown.length - 1}
            findings={findings}
            acts={acts}
            toStep={leadTo}
          />
        ))}
      </div>
    </dialog>
  )
}

interface OneProps {
  of: PhotoRef
  isFirst: boolean
  findings: readonly FindingRow[]
  acts: PhotoActs | undefined
  toStep: ((step: string) => void) | undefined
}

function OnePhoto({ of, isFirst, findings, acts, toStep, ...rooms }: Rooms & OneProps) {
  const found = useRecord(rooms, of.job)
  const picture = usePicture(rooms, of.blob, { wanted: true })
  const compared = useCompared(of.blob, picture)
  const words = useMissing(rooms, of.blob, compared === 'damaged' ? 'damaged' : picture.missing)
  const record = found.at === 'here' ? found.record : null
  const photo = record && photoOfEntry(record, of.entry)
  return (
    <section class="photo-one" aria-label={of.label}>
      {picture.url && compared === 'same' ? (
        <PhotoStage url={picture.url} label={of.label} isFirst={isFirst} />
      ) : (
        <p
          class={`photo-none ${compared === 'damaged' ? 'damage' : ''}`}
          role={compared === 'damaged' ? 'alert' : 'status'}
        >
          {words?.whole ?? t(says.coming)}
        </p>
      )}
      <div class="photo-beside-facts">
        <TroubleLine trouble={found.at === 'missing' ? found.trouble : null} />
        {found.at === 'reading' && <p role="status">{t(says.factsCome)}</p>}
        {record && !photo && (
          <p class="damage" role="alert">
            {t(says.notInItsJob)}
          </p>
        )}
        {record && photo && (
          <>
            <PhotoFacts
              {...rooms}
              photo={photo}
              record={record}
              compared={compared}
              finding={findings.find(({ blob }) => blob === of.blob)}
            />
            <Onward photo={photo} bytes={compared === 'same' ? picture.bytes : null} toStep={toStep} />
            {acts?.(photo, record)}
          </>
        )}
      </div>
    </section>
  )
}

function Onward({
  photo: { body, held },
  bytes,
  toStep,
}: {
  photo: PhotoRecord
  bytes: Blob | null
  toStep: OneProps['toStep']
}) {
  return (
    <p class="step-acts">
      {bytes && (
        <TextKey says={t(says.saveOriginal)} onPress={() => saveFile(bytes, fileNameOf(body, bytes.type))} />
      )}
      {toStep ? (
        <TextKey says={t(says.toItsStep)} onPress={() => toStep(body.step)} />
      ) : (
        <a class="text-key" href={jobHref(held.entry.job ?? '')}>
          {t(says.toItsJob)}
        </a>
      )}
    </p>
  )
}
