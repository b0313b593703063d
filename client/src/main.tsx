/** Start: what the phone keeps, then the screen, then the network. Nothing here waits for a signal. */
import './parts/tokens.css'
import { render } from 'preact'
import { App, Opening, Stopped } from './screens/app'
import { livesIn } from './kept-build'
import { firstScreen } from './screens/bay/first-screen'
import { loadTheme } from './screens/theme'
import { storeOf } from './store'
import { LateSync } from './sync/late'
import { registerWorker } from './update'
import * as words from './words/en/main'
import { t } from './words/message'

/** Without a secure context a browser gives no keys, no camera and no service worker. */
const insecure = {
  code: 'insecure-address',
  message: t(words.insecureAddress),
  hint: t(words.insecureAddressHint),
}

/** A storage that is well answers sooner; after a wipe it may take many seconds, and a blank screen says nothing. */
const SOON_MS = 400

const place = document.getElementById('app') as HTMLElement

async function start(): Promise<void> {
  livesIn(import.meta.url, navigator.locks)
  const late = setTimeout(() => render(<Opening />, place), SOON_MS)
  const store = storeOf()
  const opened = store.open(firstScreen(location.hash))
  await store.known
  clearTimeout(late)
  if (!store.trouble.value) await loadTheme(store)
  const sync = new LateSync(store)
  render(<App store={store} sync={sync} />, place)
  await opened
  void sync.now()
  if (import.meta.env.PROD) await registerWorker() // `npm run dev` builds none
}

/** What the code on a customer's sheet opens: no app, nothing kept, and no secure context needed. */
const secret = /^#\/page\/(.+)/.exec(location.hash)?.[1]

// Not awaited: no chunk is evaluated before the script that it imports from has come to its end.
if (secret) void import('./screens/paper/customer').then((its) => its.showCustomersPage(place, secret))
else if (isSecureContext) void start()
else render(<Stopped trouble={insecure} />, place)
