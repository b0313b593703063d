/** This phone: the light it is read in, the hand that holds it, whose it is. */
import { useEffect, useState } from 'preact/hooks'
import { PlainKey } from '../../parts/keys'
import type { Device } from '../../store'
import { BackKey } from './act-keys'
import { usePeople } from '../names'
import { lineKind, PHOTOS_WAIT } from '../../sync/mobile'
import { go } from '../route'
import { LICENCES } from '../licences'
import { THEMES, setTheme, theme } from '../theme'
import { Lacks, useLacks } from '../browser-lacks'
import type { Rooms } from '../rooms'
import { Facts } from './facts'
import { RowKey } from './rows'
import { OwnersNumber } from './call'
import { Frame } from './frame'
import { hand, setHand, type Hand } from './handedness'
import * as words from '../../words/en/bay/settings'
import { t, wordsOf } from '../../words/message'
import { reading } from '../reading'

const LIGHT = wordsOf(words.themes)
const HANDS: Record<Hand, string> = { right: t(words.rightHand), left: t(words.leftHand) }

const facts = (device: Device): [string, string][] => [
  [t(words.personLabel), device.personName || t(words.nameMissing)],
  [t(words.mayLabel), device.role],
  [t(words.workshopLabel), device.workshopName],
  [t(words.itsFingerprint), device.workshop],
  [t(words.thisPhone), device.id],
]

/** Photos are large: over a line that is paid by the byte they may wait. Entries never do. */
function PhotosOver({ store }: Pick<Rooms, 'store'>) {
  const [wait, setWait] = useState<string | null>(null)
  useEffect(() => reading(store.setting(PHOTOS_WAIT), setWait), [store])
  const choose = (next: string) => {
    setWait(next)
    void store.setSetting(PHOTOS_WAIT, next)
  }
  const rows = [
    ['no', t(words.photosAtOnce)],
    ['yes', t(words.photosLater)],
  ] as const
  return (
    <>
      <h2>{t(words.photosOver)}</h2>
      <ul class="rows" aria-label={t(words.photosOver)}>
        {rows.map(([id, says]) => (
          <RowKey pressed={(wait ?? 'no') === id} onPress={() => choose(id)}>
            {says}
          </RowKey>
        ))}
      </ul>
      {lineKind() === null && <p class="soft">{t(words.lineNotKnown)}</p>}
    </>
  )
}

/** A phone of the bay that several hands work with: only those are offered whom an owner admitted on it. */
function WhoWorks(rooms: Rooms) {
  const [persons, setPersons] = useState<readonly string[]>([])
  const names = usePeople(rooms)
  const changed = rooms.store.changed.value
  useEffect(() => reading(rooms.sync.persons(), setPersons), [rooms.sync, changed])
  if (persons.length < 2) return null
  return (
    <>
      <h2>{t(words.whoWorks)}</h2>
      <ul class="rows" aria-label={t(words.whoWorks)}>
        {persons.map((person) => (
          <RowKey
            key={person}
            pressed={rooms.store.device.value?.person === person}
            onPress={() => void rooms.sync.workAs(person)}
          >
            {names.get(person) ?? t(words.nameMissingTitle)}
          </RowKey>
        ))}
      </ul>
      <p class="soft">{t(words.signedInName)}</p>
    </>
  )
}

export function SettingsScreen({ back, places, ...rooms }: Rooms & { back: () => void; places: () => void }) {
  const { store } = rooms
  const device = store.device.value
  const lacks = useLacks()
  return (
    <Frame
      title={t(words.thisPhoneTitle)}
      side={<BackKey back={back} />}
      main={<PlainKey label={t(words.whereItAllIs)} note={t(words.threePlaces)} onPress={places} />}
    >
      <WhoWorks {...rooms} />
      <h2>{t(words.light)}</h2>
      <ul class="rows" aria-label={t(words.light)}>
        {THEMES.map((name) => (
          <RowKey pressed={theme.value === name} onPress={() => void setTheme(store, name)}>
            {LIGHT[name]}
          </RowKey>
        ))}
      </ul>
      <h2>{t(words.hand)}</h2>
      <ul class="rows" aria-label={t(words.hand)}>
        {(Object.keys(HANDS) as Hand[]).map((name) => (
          <RowKey pressed={hand.value === name} onPress={() => void setHand(store, name)}>
            {HANDS[name]}
          </RowKey>
        ))}
      </ul>
      <h2>{t(words.calls)}</h2>
      <OwnersNumber store={store} />
      <PhotosOver store={store} />
      <h2>{t(words.whatItKeeps)}</h2>
      <p>{store.persisted.value ? t(words.storageKept) : t(words.storageNotKept)}</p>
      <Lacks lacks={lacks ?? []} />
      <p>{t(words.triedIn)}</p>
      <h2>{t(words.whose)}</h2>
      {device && <Facts facts={facts(device)} />}
      <p class="soft">{t(words.compareFingerprint)}</p>
      <ul class="rows" aria-label={t(words.more)}>
        <RowKey note={t(words.signOutMeans)} onPress={() => go('/sign-out')}>
          {t(words.signOut)}
        </RowKey>
        <RowKey note={t(words.licencesMeans)} onPress={() => location.assign(LICENCES)}>
          {t(words.licences)}
        </RowKey>
      </ul>
    </Frame>
  )
}
