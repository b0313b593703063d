/** A phone that is withdrawn, shut out or signed out: nothing of what it keeps is shown, only how much of it still has to go. */
import { useState } from 'preact/hooks'
import type { Counts, Sealed } from '../store'
import { megabytes } from '../sync'
import { ofDevice } from './office/atdesk'
import { saveFile } from './save-file'
import type { Rooms } from './rooms'
import './app.css'
import * as says from '../words/en/sealed'
import { t } from '../words/message'

/** A desk may be any device. */
const sayTo =
  ({ store }: Pick<Rooms, 'store'>) =>
  (text: string): string =>
    store.device.value?.role === 'mechanic' ? text : ofDevice(text)

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

const TITLES: Record<Sealed, string> = {
  revoked: t(says.ownerHasWithdrawnThisPhone),
  shut: t(says.ownerHasShutThisPhoneOut),
  over: t(says.timeYouWereGivenIsOver),
  'signed-out': t(says.thisPhoneIsSignedOut),
}

const WAITS: Record<Sealed, string> = {
  revoked: t(says.eachGoesToTheWorkshop),
  shut: t(says.nobodySeesThatHere),
  over: t(says.nobodySeesThatUnlessLetIn),
  'signed-out': t(says.nobodySeesThatUnlessLetIn),
}

export function SealedScreen({ store, sync, how, invite }: Rooms & { how: Sealed; invite: () => void }) {
  const [isWriting, setWriting] = useState(false)
  const say = sayTo({ store })
  const unsent = unsentWords(store.places.value)
  const write = async () => {
    setWriting(true)
    await saveFile(await store.exportAll(), 'two-turns-phone.zip')
    setWriting(false)
  }
  return (
    <main class="frame">
      <h1 class="t-title">{say(TITLES[how])}</h1>
      <p>{t(says.itShowsNothingOfWhat)}</p>
      {unsent === null ? (
        <p>{t(says.everythingThatWasWrittenHere)}</p>
      ) : (
        <p>
          <b>
            {say(t(says.onlyOnThisPhone))}: {unsent}.
          </b>{' '}
          {say(WAITS[how])}
        </p>
      )}
      {how === 'revoked' && unsent !== null && <p role="status">{sync.status.value.words}</p>}
      <button type="button" class="wide-key t-key" onClick={invite}>
        {t(says.openANewInvitation)}
      </button>
      {unsent !== null && (
        <button type="button" class="side-key t-key" disabled={isWriting} onClick={() => void write()}>
          {t(says.writeItToAFile)}
        </button>
      )}
    </main>
  )
}

/** Before it: what stays here, and what it takes to come back. */
export function SignOut({ store, sync, leave }: Rooms & { leave: () => void }) {
  const [isLeaving, setLeaving] = useState(false)
  const say = sayTo({ store })
  const unsent = unsentWords(store.places.value)
  const out = async () => {
    setLeaving(true)
    await sync.signOut().finally(() => setLeaving(false))
    leave()
  }
  return (
    <main class="frame">
      <h1 class="t-title">{say(t(says.signThisPhoneOut))}</h1>
      <p>{t(says.itForgetsItsKey)}</p>
      {unsent === null ? (
        <p>{t(says.everythingThatWasWrittenHere)}</p>
      ) : (
        <p role="alert">
          <b>
            {say(t(says.onlyOnThisPhone))}: {unsent}.
          </b>{' '}
          {say(t(says.thatStaysHereUnseen))}
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
      {store.beside.value && <p>{t(says.twoTurnsIsOpen)}</p>}
    </main>
  )
}
