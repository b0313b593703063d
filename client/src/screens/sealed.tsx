/** A phone that is withdrawn, shut out or signed out: nothing of what it keeps is shown, only how much of it still has to go. */
import { useEffect, useState } from 'preact/hooks'
import type { Counts, ReadAt, Sealed } from '../store'
import { forgetAllTyped } from '../store/typed-drafts'
import { megabytes } from '../sync/sizes'
import { saveFile } from './save-file'
import type { Rooms } from './rooms'
import './app.css'
import * as says from '../words/en/sealed'
import { t } from '../words/message'

/** A desk may be any device. */
const readAt = ({ store }: Pick<Rooms, 'store'>): ReadAt =>
  store.device.value?.role === 'mechanic' ? 'engine' : 'desk'

/** What lies here and nowhere else, in words; null when there is nothing. */
function unsentWords({
  phone,
  photosWaiting,
  bytesWaiting,
}: Pick<Counts, 'phone' | 'photosWaiting' | 'bytesWaiting'>): string | null {
  const photos = { photos: photosWaiting, bytes: megabytes(bytesWaiting) }
  if (phone > 0 && photosWaiting > 0) return t(says.entriesAndPhotos, { n: phone, ...photos })
  if (photosWaiting > 0) return t(says.photos, photos)
  return phone > 0 ? t(says.entries, { n: phone }) : null
}

type Said = (at: ReadAt) => string

const TITLES: Record<Sealed, Said> = {
  revoked: (at) => t(says.revoked, { at }),
  shut: (at) => t(says.shutOut, { at }),
  over: () => t(says.accessOver),
  'signed-out': (at) => t(says.signedOut, { at }),
}

const unseenUntilLetIn: Said = (at) => t(says.unsent, { at })

const WAITS: Record<Sealed, Said> = {
  revoked: (at) => t(says.revokedUnsent, { at }),
  shut: (at) => t(says.shutOutUnsent, { at }),
  over: unseenUntilLetIn,
  'signed-out': unseenUntilLetIn,
}

export function SealedScreen({ store, sync, how, invite }: Rooms & { how: Sealed; invite: () => void }) {
  const [isWriting, setWriting] = useState(false)
  useEffect(forgetAllTyped, [])
  const at = readAt({ store })
  const unsent = unsentWords(store.places.value)
  const write = async () => {
    setWriting(true)
    saveFile(await store.exportAll().finally(() => setWriting(false)), 'two-turns-phone.zip')
  }
  return (
    <main class="frame">
      <h1 class="t-title">{TITLES[how](at)}</h1>
      <p>{t(says.showsNothing)}</p>
      {unsent === null ? (
        <p>{t(says.allSent)}</p>
      ) : (
        <p>
          <b>
            {t(says.onlyOnThisPhone, { at })}: {unsent}.
          </b>{' '}
          {WAITS[how](at)}
        </p>
      )}
      {how === 'revoked' && unsent !== null && <p role="status">{sync.status.value.words}</p>}
      <button type="button" class="wide-key t-key" onClick={invite}>
        {t(says.openInvitation)}
      </button>
      {unsent !== null && (
        <button type="button" class="side-key t-key" disabled={isWriting} onClick={() => void write()}>
          {t(says.writeToFile)}
        </button>
      )}
    </main>
  )
}

/** Before it: what stays here, and what it takes to come back. */
export function SignOut({ store, sync, leave }: Rooms & { leave: () => void }) {
  const [isLeaving, setLeaving] = useState(false)
  const at = readAt({ store })
  const unsent = unsentWords(store.places.value)
  const out = async () => {
    setLeaving(true)
    await sync.signOut().finally(() => setLeaving(false))
    leave()
  }
  return (
    <main class="frame">
      <h1 class="t-title">{t(says.signOutTitle, { at })}</h1>
      <p>{t(says.signOutMeans)}</p>
      {unsent === null ? (
        <p>{t(says.allSent)}</p>
      ) : (
        <p role="alert">
          <b>
            {t(says.onlyOnThisPhone, { at })}: {unsent}.
          </b>{' '}
          {t(says.signOutUnsent, { at })}
        </p>
      )}
      {unsent !== null && (
        <button type="button" class="side-key t-key" onClick={() => void sync.now()}>
          {t(says.sendNow)}
        </button>
      )}
      {unsent !== null && <p role="status">{sync.status.value.words}</p>}
      <button type="button" class="wide-key t-key" onClick={leave}>
        {t(says.staySignedIn)}
      </button>
      <button
        type="button"
        class="side-key t-key"
        disabled={isLeaving || !store.writer.value}
        onClick={() => void out()}
      >
        {isLeaving ? t(says.signingOut) : t(says.signOut)}
      </button>
      {store.beside.value && <p>{t(says.openElsewhere)}</p>}
    </main>
  )
}
