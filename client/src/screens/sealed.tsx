/** A phone that is withdrawn, shut out or signed out: nothing of what it keeps is shown, only how much of it still has to go. */
import { useState } from 'preact/hooks'
import type { Counts, Sealed } from '../store'
import { megabytes } from '../sync'
import { ofDevice } from './office/atdesk'
import { saveFile } from './save-file'
import type { Rooms } from './rooms'
import './app.css'

const counted = (n: number, one: string, many = `${one}s`): string => `${n} ${n === 1 ? one : many}`

/** A desk may be any device. */
const sayTo =
  ({ store }: Pick<Rooms, 'store'>) =>
  (text: string): string =>
    store.device.value?.role === 'mechanic' ? text : ofDevice(text)

/** What lies here and nowhere else, in words; null when there is nothing. */
export function unsentWords({
  phone,
  photosWaiting,
  bytesWaiting,
}: Pick<Counts, 'phone' | 'photosWaiting' | 'bytesWaiting'>): string | null {
  const parts = [
    phone > 0 && counted(phone, 'entry', 'entries'),
    photosWaiting > 0 && `${counted(photosWaiting, 'photo')} (${megabytes(bytesWaiting)})`,
  ]
  const said = parts.filter(Boolean).join(' and ')
  return said === '' ? null : said
}

const TITLES: Record<Sealed, string> = {
  revoked: 'The owner has withdrawn this phone',
  shut: 'The owner has shut this phone out',
  over: 'The time you were given is over',
  'signed-out': 'This phone is signed out',
}

const WAITS: Record<Sealed, string> = {
  revoked: 'Each goes to the workshop by itself, is marked there, and then goes from this phone.',
  shut: 'Nobody sees that here, and the workshop takes nothing more from this phone. Write it to a file: the owner may take that in at the workshop’s computer.',
  over: 'Nobody sees that here. It goes to the workshop when a new invitation lets this phone in.',
  'signed-out': 'Nobody sees that here. It goes to the workshop when a new invitation lets this phone in.',
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
      <p>
        It shows nothing of what it kept. Names, words, VIN and plates that the workshop has are gone from it.
      </p>
      {unsent === null ? (
        <p>Everything that was written here is in the workshop.</p>
      ) : (
        <p>
          <b>
            {say('Only on this phone')}: {unsent}.
          </b>{' '}
          {say(WAITS[how])}
        </p>
      )}
      {how === 'revoked' && unsent !== null && <p role="status">{sync.status.value.words}</p>}
      <button type="button" class="wide-key t-key" onClick={invite}>
        Open a new invitation
      </button>
      {unsent !== null && (
        <button type="button" class="side-key t-key" disabled={isWriting} onClick={() => void write()}>
          Write it to a file, for the workshop’s computer
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
      <h1 class="t-title">{say('Sign this phone out')}</h1>
      <p>
        It forgets its key and what it received, and shows nothing any more. To come back it needs a new
        invitation from the owner.
      </p>
      {unsent === null ? (
        <p>Everything that was written here is in the workshop.</p>
      ) : (
        <p role="alert">
          <b>
            {say('Only on this phone')}: {unsent}.
          </b>{' '}
          {say(
            'That stays here, unseen, and goes to the workshop when a new invitation lets this phone in. Better send it first, within reach of the workshop.',
          )}
        </p>
      )}
      {unsent !== null && (
        <button type="button" class="side-key t-key" onClick={() => void sync.now()}>
          Send now
        </button>
      )}
      {unsent !== null && <p role="status">{sync.status.value.words}</p>}
      <button type="button" class="wide-key t-key" onClick={leave}>
        Stay signed in
      </button>
      <button
        type="button"
        class="side-key t-key"
        disabled={isLeaving || !store.writer.value}
        onClick={() => void out()}
      >
        {isLeaving ? 'Signing out' : 'Sign out'}
      </button>
      {store.beside.value && <p>Two Turns is open in another window. Sign out there.</p>}
    </main>
  )
}
