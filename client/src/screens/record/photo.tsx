/** A photo of the record: small in a row, and full size with what is known of it. */
import type { FindingRow } from '../../ledger/answers'
import { useEffect, useRef, useState } from 'preact/hooks'
import type { Bundle } from '../../procedure/bundle'
import type { Rooms } from '../rooms'
import { CONSOLE } from '../../ledger/entry'
import { foundWords } from './damage'
import { usePicture, type Picture } from './fetched'
import { jumpToStep } from './jump-to-step'
import { erasureOf, missingWords, type Erasure } from './photo-missing'
import { nameRefs } from '../names'
import type { PhotoRecord } from '../../work/record'
import { placeOfHeld, sizeWords, timeWords } from '../../work/format'
import * as says from '../../words/en/record/photo'
import { t } from '../../words/message'

const SMALL = 320

/** True once the element has been near the screen: a job has dozens of photos, and most are never looked at. */
function useSeen() {
  const element = useRef<HTMLButtonElement>(null)
  const [isSeen, setSeen] = useState(false)
  useEffect(() => {
    if (!element.current || isSeen) return
    const observer = new IntersectionObserver(
      (entries) => entries.some(({ isIntersecting }) => isIntersecting) && setSeen(true),
      { rootMargin: '200px' },
    )
    observer.observe(element.current)
    return () => observer.disconnect()
  }, [isSeen])
  return { element, isSeen }
}

/** Why it is not shown; null while it is coming, or shown. */
function useMissing({ store, sync }: Rooms, blob: string, missing: Picture['missing']) {
  const [erasure, setErasure] = useState<(Erasure & { by: string }) | null>(null)
  useEffect(() => {
    let gone = false
    const read = async () => {
      const statements = await store.log(null)
      const found = erasureOf(statements, blob)
      const name = found && nameRefs(statements).get(found.person)
      const said = name && ((await store.secretValue(name)) ?? (await sync.value(name)))
      const by = found?.person === CONSOLE ? t(says.workshopsComputer) : (said ?? t(says.owner))
      if (!gone) setErasure(found && { ...found, by })
    }
    if (missing) void read()
    return () => {
      gone = true
    }
  }, [store, sync, blob, missing])
  return missing ? missingWords(missing, erasure) : null
}

export type OpenPhoto = (photo: PhotoRecord) => void

/** `number` goes before the label where the step is not plain from the place. */
export function PhotoSmall({
  photo,
  number = '',
  onOpen,
  ...rooms
}: Rooms & { photo: PhotoRecord; number?: string; onOpen: OpenPhoto }) {
  const { element, isSeen } = useSeen()
  const { url, missing } = usePicture(rooms, photo.body.blob, { width: SMALL, wanted: isSeen })
  const words = useMissing(rooms, photo.body.blob, missing)
  return (
    <button ref={element} type="button" class="photo-small" onClick={() => onOpen(photo)}>
      {url ? (
        <img src={url} alt="" />
      ) : (
        <span class="photo-wait d-small">{words?.short ?? t(says.coming)}</span>
      )}
      <span class="d-small">
        {number === '' ? '' : `${number} `}
        {t(says.photoNamed, { label: photo.label, isEarlier: photo.isEarlier })}
        <span class="unseen">{t(says.openFullSize)}</span>
      </span>
    </button>
  )
}

export function PhotoFull({
  photo,
  bundle,
  finding,
  onClose,
  ...rooms
}: Rooms & { photo: PhotoRecord; bundle: Bundle; finding: FindingRow | undefined; onClose: () => void }) {
  const dialog = useRef<HTMLDialogElement>(null)
  const { url, missing } = usePicture(rooms, photo.body.blob, { wanted: true })
  const words = useMissing(rooms, photo.body.blob, missing)
  const { body, held } = photo
  const step = bundle.steps.find(({ id }) => id === body.step)
  useEffect(() => dialog.current?.showModal(), [])
  const toStep = () => {
    dialog.current?.close()
    // After the closing has given the focus back to the small photo.
    setTimeout(() => jumpToStep(body.step))
  }
  return (
    <dialog
      ref={dialog}
      class="photo-full"
      aria-label={t(says.photo, { label: photo.label })}
      onClose={onClose}
    >
      <p class="step-acts">
        <button type="button" class="text-key" onClick={() => dialog.current?.close()}>
          {t(says.closeThePhoto)}
        </button>
        <button type="button" class="text-key" onClick={toStep}>
          {t(says.toItsStep, { step: step ? `, ${step.number || step.title}` : '' })}
        </button>
      </p>
      {finding && (
        <p class="damage" role="alert">
          <b>{t(says.thisPhoto, { fact: foundWords(finding).fact })}</b> {foundWords(finding).act}
        </p>
      )}
      {url && <img src={url} alt={photo.label} />}
      {!url && <p role="status">{words?.whole ?? t(says.photoIsComing)}</p>}
      <dl class="facts-list d-small">
        <dt>{t(says.what)}</dt>
        <dd>{photo.label}</dd>
        <dt>{t(says.step)}</dt>
        <dd>
          {t(says.edition, {
            step: step ? `${step.number} ${step.title}` : body.step,
            name: bundle.name,
            edition: bundle.edition,
          })}
        </dd>
        <dt>{t(says.taken)}</dt>
        <dd>{t(says.takenAt, { at: timeWords(held.entry.at), how: body.how === 'live' })}</dd>
        <dt>{t(says.bytes)}</dt>
        <dd>
          {t(says.whatItIs, {
            size: sizeWords(body.size),
            width: body.width,
            height: body.height,
            type: body.type,
            isCompared: Boolean(url),
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
    </dialog>
  )
}
