/** For whom a phone of the bay speaks: an owner admits one person more on it, or takes one off. */
import { useState } from 'preact/hooks'
import { uuid7 } from '../../ledger/uuid'
import type { Rooms } from '../rooms'
import { DeskForm, Field } from './form'
import { FormKey } from '../office/form-key'
import { TroubleLine } from '../office/shell'
import { Choose } from '../office/choose'
import { deviceName, randomBytes } from './invite'
import { peopleOf, type DeviceSeen, type PersonRow } from '../../work/statements'
import { TOLD } from '../../work/told'
import { useLine } from './use-draft'
import { useWriting, type Build } from './use-writing'
import * as says from '../../words/en/desk/admit'
import { t } from '../../words/message'

interface AdmitProps extends Rooms {
  device: DeviceSeen
  people: readonly PersonRow[]
  names: ReadonlyMap<string, string>
}

/** They are stated as a whole: on from what is stated by now, of which the page may not show the last yet. */
export const serving =
  (
    { store }: Pick<Rooms, 'store'>,
    device: string,
    change: (persons: readonly string[]) => string[],
  ): Build =>
  async (w) => {
    const people = peopleOf(await store.statements(TOLD), '')
    const now = people.flatMap(({ devices }) => devices).find((each) => each.device === device)
    await w.entry('device.serves', { device, persons: change(now?.serves ?? []) })
  }

export function Admit({ device, people, names, ...rooms }: AdmitProps) {
  const { write, trouble } = useWriting(rooms, null)
  const isWriter = rooms.store.writer.value
  const takeOff = (person: string) =>
    write(serving(rooms, device.device, (persons) => persons.filter((each) => each !== person)))
  return (
    <>
      {device.serves.map((person) => (
        <p key={person} class="d-text">
          {t(says.alsoSpeaksFor, { person: names.get(person) ?? t(says.nameMissing) })}{' '}
          {isWriter && (
            <button
              type="button"
              class="text-key"
              onClick={() => void takeOff(person).catch(() => undefined)}
            >
              {t(says.takeOff)}
              <span class="unseen"> {names.get(person)}</span>
            </button>
          )}
        </p>
      ))}
      <TroubleLine trouble={trouble} />
      {isWriter && (
        <FormKey
          stands="in-row"
          label={t(says.admitAPerson)}
          name={t(says.admitOnDevice, { device: deviceName(device.device) })}
        >
          {(leave) => <AdmitForm {...rooms} device={device} people={people} names={names} leave={leave} />}
        </FormKey>
      )}
    </>
  )
}

const nameFault = (name: string) => (name !== '' && name.length <= 200 ? undefined : t(says.nameUnfit))

function AdmitForm({ device, people, names, leave, ...rooms }: AdmitProps & { leave: () => void }) {
  const { write } = useWriting(rooms, null)
  const [person, setPerson] = useState('')
  const name = useLine(`admit/${device.device}`, nameFault, leave)
  // It never speaks for an owner: who picks up the phone of the bay is none.
  const owners = people.filter(({ role }) => role === 'owner').map((row) => row.person)
  const own = people.find(({ devices }) => devices.some((each) => each.device === device.device))?.person
  const offered = [...names].filter(
    ([each]) => each !== own && !owners.includes(each) && !device.serves.includes(each),
  )
  const act = () => {
    const called = person === '' ? name.judged() : ''
    if (called === null) return null
    return write(async (w) => {
      const admitted = person || uuid7(Date.now(), randomBytes(10))
      if (person === '')
        await w.entry('person.named', { person: admitted, name: await w.secret('name', called) })
      await serving(rooms, device.device, (persons) => [...persons, admitted])(w)
    }).then(name.done)
  }
  return (
    <DeskForm
      title={t(says.admitOnDevice, { device: deviceName(device.device) })}
      submit={t(says.admit)}
      act={act}
      leave={leave}
    >
      <p class="d-text">{t(says.admitExplained)}</p>
      <Choose
        label={t(says.who)}
        value={person}
        onValue={setPerson}
        options={[
          { value: '', words: t(says.somebodyNew) },
          ...offered.map(([value, words]) => ({ value, words })),
        ]}
      />
      {person === '' && <Field label={t(says.name)} hint={t(says.privateValue)} {...name.of} />}
    </DeskForm>
  )
}
