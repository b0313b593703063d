/** The app's frame: which screen, by the device's role and the address; updates; what went wrong. */
import { useErrorBoundary, useState } from 'preact/hooks'
import type { Trouble } from '../store'
import { isTakingOver, newBuild, takeOver } from '../update'
import { atDesk } from './office/atdesk'
import { Bay } from './bay'
import { chunk, screenAlone, screenOf } from './chunk'
import { saveFile } from './save-file'
import { useUnreadBy } from './names'
import type { Rooms } from './rooms'
import { go, route, takeInvitation } from './route'
import './app.css'
import * as words from '../words/en/app'
import { t } from '../words/message'

const Audit = screenAlone(
  () => import('./audit'),
  (its) => its.Audit,
)
const Desk = screenAlone(
  () => import('./desk'),
  (its) => its.Desk,
)
const Enrol = screenAlone(
  () => import('./enrol'),
  (its) => its.Enrol,
)
const Paper = screenAlone(
  () => import('./paper'),
  (its) => its.Paper,
)
const sealing = chunk(() => import('./sealed'))
const SealedScreen = screenOf(sealing, (its) => its.SealedScreen)
const SignOut = screenOf(sealing, (its) => its.SignOut)

export function App(rooms: Rooms) {
  const [invitation, setInvitation] = useState(takeInvitation)
  const [broken, mend] = useErrorBoundary()
  const device = rooms.store.device.value
  const trouble = rooms.store.trouble.value
  const letIn = () => {
    setInvitation(null)
    // A page that ended while it was signed out still stands where that is asked.
    if (route.value === SIGN_OUT) go('')
  }
  if (!device && trouble) return <Stopped trouble={trouble} keep={() => void writeAll(rooms.store)} />
  if (broken) return <Broken error={broken as unknown} onAgain={mend} />
  return (
    <>
      <SecondTab {...rooms} />
      <Notices {...rooms} />
      <NewBuild {...rooms} />
      {device && invitation === null ? (
        <Home {...rooms} invite={() => setInvitation('')} />
      ) : (
        <Enrol {...rooms} link={invitation ?? ''} onDone={letIn} />
      )}
    </>
  )
}

const ROOMS = { audit: Audit, desk: Desk, bay: Bay }

/** An owner may also work at the engine, or look with the auditor's eyes. */
function roomOf({ store }: Rooms): keyof typeof ROOMS {
  const role = store.device.value?.role
  const [, first] = route.value.replace(/^#/, '').split('/')
  if (role === 'auditor' || (role === 'owner' && first === 'audit')) return 'audit'
  return role === 'owner' && first !== 'bay' ? 'desk' : 'bay'
}

/** Where a phone or a desk is signed out, whatever its role. */
const SIGN_OUT = '#/sign-out'

/** Papers of a job: to be read and printed from the phone and from the desk. */
const PAPER = '#/paper/'

function Home({ invite, ...rooms }: Rooms & { invite: () => void }) {
  const sealed = rooms.store.sealed.value
  if (sealed !== null) return <SealedScreen {...rooms} how={sealed} invite={invite} />
  if (route.value === SIGN_OUT) return <SignOut {...rooms} leave={() => go('')} />
  if (route.value.startsWith(PAPER)) return <Paper {...rooms} />
  const Room = ROOMS[roomOf(rooms)]
  return <Room {...rooms} />
}

function SecondTab({ store }: Rooms) {
  if (!store.beside.value) return null
  return (
    <p class="notice t-note" role="status">
      {t(words.openElsewhere)}
    </p>
  )
}

/** What happened to what this phone keeps: on every screen, also before a phone is enrolled, until it has been read. */
function Notices(rooms: Rooms) {
  const { store } = rooms
  const notices = roomOf(rooms) === 'bay' ? store.notices.value : store.notices.value.map(atDesk)
  return notices.map(({ code, message, hint }) => (
    <div key={code} class="notice t-note" role="alert">
      <p>
        <b>{message}</b> {hint}
      </p>
      <button type="button" class="notice-key t-key" onClick={() => void store.dismiss(code)}>
        {t(words.iHaveReadIt)}
      </button>
    </div>
  ))
}

const writeAll = async (store: Rooms['store']) => saveFile(await store.exportAll(), 'two-turns-phone.zip')

/**
 * At the engine only between jobs: an open job is finished on the build it was begun with. A desk has one always, and
 * loses nothing by it: what is typed there waits in storage. Where something is here that
 * only a newer app can read, nobody knows what it says: then at once.
 */
function NewBuild(rooms: Rooms) {
  const { openHere, unread } = rooms.store.places.value
  if (!newBuild.value) return unread > 0 ? <Unread {...rooms} unread={unread} /> : null
  if (openHere > 0 && unread === 0 && roomOf(rooms) === 'bay') return null
  if (isTakingOver.value)
    return (
      <p class="notice t-note" role="status">
        {t(words.takingOver)}
      </p>
    )
  return (
    <p class="notice t-note" role="status">
      {t(words.newerReady, { unread })}
      <button type="button" class="notice-key t-key" onClick={takeOver}>
        {t(words.takeNewer)}
      </button>
    </p>
  )
}

/** No newer app waits: to be told to update would help nobody. */
function Unread({ unread, ...rooms }: Rooms & { unread: number }) {
  return (
    <p class="notice t-note" role="status">
      <span>
        <b>{t(words.unreadable, { unread, who: useUnreadBy(rooms) })}</b>
        {t(words.unreadableHint)}
      </span>
    </p>
  )
}

/** Shown while the storage takes its time; what it holds is not known yet. */
export function Opening() {
  return (
    <main class="frame" aria-busy="true">
      <h1 class="t-title">{t(words.opening)}</h1>
      <p>{t(words.storageSlow)}</p>
    </main>
  )
}

/** Nothing of the phone can be shown: what happened, and what to do. What can still be read goes to a file. */
export function Stopped({ trouble, keep }: { trouble: Trouble; keep?: () => void }) {
  return (
    <main class="frame">
      <div role="alert">
        <h1 class="t-title stopped">{trouble.message}</h1>
        <p>{trouble.hint}</p>
      </div>
      {keep && (
        <button type="button" class="wide-key t-key" onClick={keep}>
          {t(words.writeToFile)}
        </button>
      )}
    </main>
  )
}

function Broken({ error, onAgain }: { error: unknown; onAgain: () => void }) {
  return (
    <main class="frame">
      <h1 class="t-title">{t(words.screenStopped)}</h1>
      <p>{t(words.screenStoppedHint)}</p>
      <p class="quiet">{String(error)}</p>
      <button type="button" class="wide-key t-key" onClick={onAgain}>
        {t(words.openAgain)}
      </button>
    </main>
  )
}
