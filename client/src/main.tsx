/** Start: what the phone keeps, then the screen, then the network. Nothing here waits for a signal. */
import './parts/tokens.css'
import { render } from 'preact'
import { App } from './screens/app'
import { loadTheme } from './screens/theme'
import { askToPersist, openStore } from './store'
import { startSync } from './sync'
import { registerWorker } from './update'

const store = await openStore()
if (!store.trouble.value) await loadTheme(store)
const sync = startSync(store)
render(<App store={store} sync={sync} />, document.getElementById('app') as HTMLElement)
await registerWorker()
await askToPersist()
