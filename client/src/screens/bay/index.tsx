/** The bay: the mechanic's screens. Which one is shown follows from the address and from the log, never from memory. */
import { useEffect } from 'preact/hooks'
import type { Rooms } from '../rooms'
import { route } from '../route'
import { Announce } from '../../parts/keys'
import '../../parts/parts.css'
import './bay.css'
import { announced } from './act'
import { bringTheRest, CallScreens, ClosedJobs, OpenRoom, PlacesScreen, SettingsScreen } from './chunks'
import { loadHand } from './handedness'
import { JobsScreen } from './jobs'
import { goBay } from './nav'
import { watchPresence } from './presence'
import { JobScreens } from './job-screens'
import { whereOf } from './address'

export function Bay(rooms: Rooms) {
  const { store } = rooms
  const isReady = store.writer.value
  useEffect(watchPresence, [])
  useEffect(() => {
    if (isReady) void bringTheRest() // what is on the phone has been looked at: the first screen stands
  }, [isReady])
  useEffect(() => {
    void loadHand(store)
    // The camera may have ended this page: back to the photo that was awaited.
    void store
      .intent()
      .then((intent) => intent && whereOf(route.value).at === 'jobs' && goBay('job', intent.job))
  }, [store])
  return (
    <>
      <Screen {...rooms} />
      <Said />
    </>
  )
}

/** By itself, so that what is said draws no screen anew. */
const Said = () => <Announce words={announced.value} />

function Screen(rooms: Rooms) {
  const { store, sync } = rooms
  const where = whereOf(route.value)
  const home = () => goBay()
  switch (where.at) {
    case 'job':
      return (
        <JobScreens key={where.job} {...rooms} job={where.job} screen={where.screen} parts={where.parts} />
      )
    case 'call':
      return <CallScreens {...rooms} parts={where.parts} />
    case 'open':
      return <OpenRoom {...rooms} parts={where.parts} />
    case 'settings':
      return <SettingsScreen {...rooms} back={home} places={() => goBay('places')} />
    case 'closed':
      return (
        <ClosedJobs {...rooms} goTo={(job) => goBay('job', job)} openJob={() => goBay('open')} back={home} />
      )
    case 'places':
      if (!store.counted.value) return <main class="bay" aria-busy="true" />
      return (
        <PlacesScreen
          counts={store.places.value}
          sync={sync.status.value}
          send={() => void sync.now()}
          back={home}
        />
      )
    case 'jobs':
      return (
        <JobsScreen
          {...rooms}
          openJob={() => goBay('open')}
          goTo={(job) => goBay('job', job)}
          settings={() => goBay('settings')}
          places={() => goBay('places')}
          closed={() => goBay('closed')}
        />
      )
  }
}
