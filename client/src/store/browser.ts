/** What a browser lacks for keeping work, and what that costs whoever works with it. */
import { browserDisk } from './remote'
import * as words from '../words/en/store/browser'
import { t } from '../words/message'

/** What this app builds on, as this browser has it. */
export interface BrowserHas {
  database: boolean
  keys: boolean
  /** Files of the app's own: the second copy of every act. */
  files: boolean
  /** A worker that serves the app without a line. */
  worker: boolean
  /** Sending while no page is open. */
  background: boolean
  wakeLock: boolean
  camera: boolean
  /** Keeps what a page stored though it was not visited for days. */
  lasting: boolean
}

export interface Lack {
  what: string
  costs: string
  /** Without it, "kept on this phone" would not be so: no phone joins. */
  isNeeded: boolean
}

const LACKS: Record<keyof BrowserHas, Lack> = {
  database: {
    what: 'A database',
    costs: t(words.noStorage),
    isNeeded: true,
  },
  keys: {
    what: 'Ed25519 keys',
    costs: t(words.noSigning),
    isNeeded: true,
  },
  files: {
    what: t(words.ownFiles),
    costs: t(words.ownFilesLack),
    isNeeded: false,
  },
  worker: {
    what: t(words.serviceWorker),
    costs: t(words.serviceWorkerLack),
    isNeeded: false,
  },
  background: {
    what: t(words.backgroundSync),
    costs: t(words.backgroundSyncLack),
    isNeeded: false,
  },
  wakeLock: {
    what: t(words.wakeLock),
    costs: t(words.wakeLockLack),
    isNeeded: false,
  },
  camera: { what: 'A camera', costs: t(words.cameraLack), isNeeded: false },
  lasting: { what: t(words.lasting), costs: t(words.lastingLack), isNeeded: false },
}

/** What is lacking, in the order of what it costs. */
export const lacksOf = (has: BrowserHas): Lack[] =>
  (Object.keys(LACKS) as (keyof BrowserHas)[]).filter((each) => !has[each]).map((each) => LACKS[each])

const makesKeys = (): Promise<boolean> =>
  crypto.subtle.generateKey('Ed25519', false, ['sign']).then(
    () => true,
    () => false,
  )

/**
 * Safari throws away what a page stored after seven days of its use without a visit to the page, unless that is on the
 * home screen (WebKit's blog, 24 March 2020, 'Full Third-Party Cookie Blocking and More'). It alone has gesture events.
 */
const isSafari = (): boolean => 'GestureEvent' in globalThis

export async function browserHas(): Promise<BrowserHas> {
  return {
    database: typeof indexedDB !== 'undefined',
    keys: await makesKeys(),
    files: browserDisk('two-turns') !== null,
    worker: 'serviceWorker' in navigator,
    background: 'SyncManager' in globalThis,
    wakeLock: 'wakeLock' in navigator,
    camera: 'mediaDevices' in navigator,
    lasting: !isSafari() || matchMedia('(display-mode: standalone)').matches,
  }
}
