/** A photo of the record: small in a row, and full size with what is known of it. */
import { useEffect, useRef } from 'preact/hooks'
import type { Rooms } from '../rooms'
import { usePicture } from './fetched'
import type { PhotoRecord } from './record'
import { placeOfHeld, sizeWords, timeWords } from './words'

const SMALL = 320

export function PhotoRow({ photo, onOpen, ...rooms }: Rooms & { photo: PhotoRecord; onOpen: () => void }) {
  const { url, missing } = usePicture(rooms, photo.body.blob, SMALL)
  return (
    <button type="button" class="photo-small" onClick={onOpen}>
      {url ? <img src={url} alt="" /> : <span class="photo-wait">{missing ? 'not in the workshop yet' : 'coming'}</span>}
      <span class="d-small">
        {photo.label}
        <span class="unseen">. Open full size</span>
      </span>
    </button>
  )
}

export function PhotoFull({ photo, onClose, ...rooms }: Rooms & { photo: PhotoRecord; onClose: () => void }) {
  const dialog = useRef<HTMLDialogElement>(null)
  const { url, missing } = usePicture(rooms, photo.body.blob)
  const { body, held } = photo
  useEffect(() => dialog.current?.showModal(), [])
  return (
    <dialog ref={dialog} class="photo-full" aria-label={`Photo: ${photo.label}`} onClose={onClose}>
      <button type="button" class="side-key" onClick={() => dialog.current?.close()}>
        Close the photo
      </button>
      {url && <img src={url} alt={photo.label} />}
      {!url && <p role="status">{missing ? 'The bytes of this photo have not reached the workshop yet. The record of it has.' : 'The photo is coming.'}</p>}
      <dl class="facts-list d-small">
        <dt>What</dt>
        <dd>{photo.label}</dd>
        <dt>Taken</dt>
        <dd>
          {timeWords(held.entry.at)} by the device's own clock, {body.how === 'live' ? 'with the camera in the app' : 'picked from the phone'}
        </dd>
        <dt>Bytes</dt>
        <dd>
          {sizeWords(body.size)}, {body.width} × {body.height}, {body.type}
          {url ? ', compared with the signed hash' : ''}
        </dd>
        <dt>SHA-256</dt>
        <dd class="hash">{body.blob}</dd>
        <dt>Where</dt>
        <dd>
          {placeOfHeld(held)}
          {held.index === null ? '' : `, record ${held.index} of the ledger`}
        </dd>
      </dl>
    </dialog>
  )
}
