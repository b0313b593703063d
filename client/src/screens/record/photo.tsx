/** A photo of the record, small in a row. */
import { useEffect, useRef, useState } from 'preact/hooks'
import type { Rooms } from '../rooms'
import { CONSOLE } from '../../ledger/entry'
import { usePicture, type Picture } from './fetched'
import { erasureOf, missingWords, type Erasure } from './photo-missing'
import { nameRefs } from '../names'
import type { PhotoRecord } from '../../work/record'
import * as says from '../../words/en/record/photo'
import { t } from '../../words/message'

const SMALL = 320

/** True once the element has been near the screen: a job has dozens of photos, and most are never looked at. */
export function useSeen() {
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
export function useMissing({ store, sync }: Rooms, blob: string, missing: Picture['missing']) {
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

interface ThumbProps {
  blob: string
  isWanted: boolean
  /** Told once it is seen, or is known not to come. */
  onSettled?: () => void
}

/** The picture small, or in a word why it is not. */
export function Thumb({ blob, isWanted, onSettled, ...rooms }: Rooms & ThumbProps) {
  const { url, missing } = usePicture(rooms, blob, { width: SMALL, wanted: isWanted })
  const words = useMissing(rooms, blob, missing)
  // biome-ignore lint/correctness/useExhaustiveDependencies: told when it is known, not when who is told changes
  useEffect(() => {
    if (missing) onSettled?.()
  }, [missing])
  if (url) return <img src={url} alt="" onLoad={onSettled} onError={onSettled} />
  return <span class="photo-wait d-small">{words?.short ?? t(says.coming)}</span>
}

/** `number` goes before the label where the step is not plain from the place. */
export function PhotoSmall({
  photo,
  number = '',
  onOpen,
  ...rooms
}: Rooms & { photo: PhotoRecord; number?: string; onOpen: OpenPhoto }) {
  const { element, isSeen } = useSeen()
  return (
    <button ref={element} type="button" class="photo-small" onClick={() => onOpen(photo)}>
      <Thumb {...rooms} blob={photo.body.blob} isWanted={isSeen} />
      <span class="d-small">
        {number === '' ? '' : `${number} `}
        {t(says.photoNamed, { label: photo.label, isEarlier: photo.isEarlier })}
        <span class="unseen">{t(says.openFullSize)}</span>
      </span>
    </button>
  )
}
