/** What a browser lacks for keeping work, and what that costs whoever works with it. */
import { browserDisk } from './remote'

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
    costs: 'Nothing could be kept here. A private window often has none: use an ordinary one.',
    isNeeded: true,
  },
  keys: {
    what: 'Ed25519 keys',
    costs: 'Nothing could be signed here. Bring the browser up to date.',
    isNeeded: true,
  },
  files: {
    what: 'Files of the app’s own',
    costs:
      'What is written lies here once, not twice: if the browser damages it before it is in the workshop, it is lost. Send it often.',
    isNeeded: false,
  },
  worker: {
    what: 'A service worker',
    costs: 'The app does not open without a line. Keep it open while there is none.',
    isNeeded: false,
  },
  background: {
    what: 'Sending in the background',
    costs: 'What waits is sent while the app is open.',
    isNeeded: false,
  },
  wakeLock: {
    what: 'A say over the screen',
    costs: 'It goes dark by the phone’s own clock.',
    isNeeded: false,
  },
  camera: { what: 'A camera', costs: 'Codes are typed, and photos are picked from files.', isNeeded: false },
}

/** What is lacking, in the order of what it costs. */
export const lacksOf = (has: BrowserHas): Lack[] =>
  (Object.keys(LACKS) as (keyof BrowserHas)[]).filter((each) => !has[each]).map((each) => LACKS[each])

const makesKeys = (): Promise<boolean> =>
  crypto.subtle.generateKey('Ed25519', false, ['sign']).then(
    () => true,
    () => false,
  )

export async function browserHas(): Promise<BrowserHas> {
  return {
    database: typeof indexedDB !== 'undefined',
    keys: await makesKeys(),
    files: browserDisk('two-turns') !== null,
    worker: 'serviceWorker' in navigator,
    background: 'SyncManager' in globalThis,
    wakeLock: 'wakeLock' in navigator,
    camera: 'mediaDevices' in navigator,
  }
}
