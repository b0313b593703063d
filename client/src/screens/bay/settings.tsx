/** This phone: the light it is read in, the hand that holds it, whose it is. */
import { useEffect, useState } from 'preact/hooks'
import { PlainKey, SideKey } from '../../parts/keys'
import type { Device } from '../../store'
import { usePeople } from '../names'
import { go } from '../route'
import { LICENCES } from '../licences'
import { THEMES, setTheme, theme, type Theme } from '../theme'
import { Lacks, useLacks } from '../browser-lacks'
import type { Rooms } from '../rooms'
import { Facts } from './facts'
import { RowKey } from './rows'
import { Frame } from './frame'
import { hand, setHand, type Hand } from './handedness'

const LIGHT: Record<Theme, string> = { indoors: 'Indoors', sun: 'In the sun', night: 'At night' }
const HANDS: Record<Hand, string> = { right: 'Right hand', left: 'Left hand' }

const facts = (device: Device): [string, string][] => [
  ['person', device.personName || 'name not here yet'],
  ['may', device.role],
  ['workshop', device.workshopName],
  ['its fingerprint', device.workshop],
  ['this phone', device.id],
]

/** A phone of the bay that several hands work with: only those are offered whom an owner admitted on it. */
function WhoWorks(rooms: Rooms) {
  const [persons, setPersons] = useState<readonly string[]>([])
  const names = usePeople(rooms)
  const changed = rooms.store.changed.value
  useEffect(() => {
    let gone = false
    void rooms.sync.persons().then((found) => !gone && setPersons(found))
    return () => {
      gone = true
    }
  }, [changed])
  if (persons.length < 2) return null
  return (
    <>
      <h2>Who works</h2>
      <ul class="rows" aria-label="Who works">
        {persons.map((person) => (
          <RowKey
            key={person}
            pressed={rooms.store.device.value?.person === person}
            onPress={() => void rooms.sync.workAs(person)}
          >
            {names.get(person) ?? 'Name not here yet'}
          </RowKey>
        ))}
      </ul>
      <p class="soft">
        What is written from now on is signed in this name. The owner admits people on this phone, at the
        desk.
      </p>
    </>
  )
}

export function SettingsScreen({ back, places, ...rooms }: Rooms & { back: () => void; places: () => void }) {
  const { store } = rooms
  const device = store.device.value
  const lacks = useLacks()
  return (
    <Frame
      title="This phone"
      deck={
        <>
          <SideKey icon="back" label="back" onPress={back} />
          <PlainKey label="Where it all is" note="phone, workshop, backup" onPress={places} />
        </>
      }
    >
      <WhoWorks {...rooms} />
      <h2>Light</h2>
      <ul class="rows" aria-label="Light">
        {THEMES.map((name) => (
          <RowKey pressed={theme.value === name} onPress={() => void setTheme(store, name)}>
            {LIGHT[name]}
          </RowKey>
        ))}
      </ul>
      <h2>Hand</h2>
      <ul class="rows" aria-label="Hand">
        {(Object.keys(HANDS) as Hand[]).map((name) => (
          <RowKey pressed={hand.value === name} onPress={() => void setHand(store, name)}>
            {HANDS[name]}
          </RowKey>
        ))}
      </ul>
      <h2>What it keeps</h2>
      <p>
        {store.persisted.value
          ? 'The browser has promised to keep what is on this phone.'
          : 'The browser has not promised to keep what is on this phone: what is not in the workshop yet may be thrown away when the phone is short of room.'}
      </p>
      <Lacks lacks={lacks ?? []} />
      <h2>Whose</h2>
      {device && <Facts facts={facts(device)} />}
      <p class="soft">
        The fingerprint is the one on the workshop's paper. If they differ, this phone writes for someone
        else.
      </p>
      <ul class="rows" aria-label="More">
        <RowKey note="it forgets its key and what it received" onPress={() => go('/sign-out')}>
          Sign this phone out
        </RowKey>
        <RowKey note="of the app, and of the work of others in it" onPress={() => location.assign(LICENCES)}>
          Licences
        </RowKey>
      </ul>
    </Frame>
  )
}
