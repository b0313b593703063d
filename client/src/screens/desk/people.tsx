/** Who works here and with which devices: invite, revoke. */
import { useState } from 'preact/hooks'
import type { ContactRow, ContactsAnswer } from '../../ledger/answers'
import type { Role } from '../../ledger/bodies'
import type { Held } from '../../store'
import { useSecret } from '../secret'
import { usePeople } from '../names'
import { counting } from '../../work/counting'
import { timeWords } from '../../work/format'
import type { Rooms } from '../rooms'
import { BecauseForm, stating } from './because'
import { Erase } from './erase-form'
import { FormKey } from '../office/form-key'
import { DeskForm, Field } from './form'
import { Permits, WhoMayDoWhat } from './permits'
import { useAsked } from '../office/from-server'
import { Choose } from '../office/choose'
import { ShutOut } from './held-back-page'
import { deviceName, inFours, invite, randomBytes, scopeOf, type Invited, type ScopeDraft } from './invite'
import { Admit } from './admit'
import { Code } from '../../parts/qr'
import { useStatements } from '../office/from-store'
import { PageHead } from '../office/shell'
import { peopleOf, type DeviceSeen, type PersonRow } from '../../work/statements'
import { useLine } from './use-draft'
import { useWriting } from './use-writing'
import { TextKey } from '../text-key'
import * as says from '../../words/en/desk/people'
import { pieces, t, wordsOf } from '../../words/message'

const ROLES = wordsOf(says.roles)

export function People(rooms: Rooms) {
  const statements = useStatements(rooms)
  const names = usePeople(rooms)
  const contacts = useContacts(rooms)
  if (statements === null) return <p role="status">{t(says.readingThePeople)}</p>
  const rows = peopleOf(statements, new Date().toISOString())
  const nobody = rows.filter(({ devices, invited }) => devices.length === 0 && invited.length === 0)
  return (
    <>
      <PageHead>{t(says.title)}</PageHead>
      <WhoMayDoWhat statements={statements} people={names} />
      <ul class="people">
        {rows
          .filter((row) => !nobody.includes(row))
          .map((row) => (
            <Person
              key={row.person}
              {...rooms}
              row={row}
              stated={namesOf(statements, row)}
              statements={statements}
              contacts={contacts}
              people={rows}
              names={names}
            />
          ))}
      </ul>
      {rooms.store.writer.value && <Invite {...rooms} rows={rows} names={names} statements={statements} />}
    </>
  )
}

function PersonName({ row, ...rooms }: Rooms & { row: PersonRow }) {
  return <>{useSecret(rooms, row.name ?? undefined) ?? t(says.nameNotHere)}</>
}

/** Every name that was ever stated of a person, or of a device of theirs: it may be called after them. */
const namesOf = (statements: readonly Held[], { person, devices }: PersonRow): string[] =>
  counting(statements).flatMap(({ entry }) => {
    if (entry.kind === 'person.named' && entry.body.person === person) return [entry.body.name.blob]
    const isTheirs =
      entry.kind === 'device.named' && devices.some(({ device }) => device === entry.body.device)
    return entry.kind === 'device.named' && isTheirs ? [entry.body.name.blob] : []
  })

/** When each device was heard of last, by its id. */
type Contacts = ReadonlyMap<string, ContactRow>

function useContacts(rooms: Rooms): Contacts {
  const answer = useAsked<ContactsAnswer>(rooms, '/api/devices')
  return new Map(answer?.ok ? answer.value.devices.map((each) => [each.device, each]) : [])
}

/** The later of the two: it signed in, or something of it came. */
function contactWords(contact: ContactRow | null): string {
  const times = [contact?.signed_in, contact?.sent].filter((at) => at != null).sort()
  const last = times.at(-1)
  return last === undefined ? t(says.neverHeardOf) : t(says.lastContact, { at: timeWords(last) })
}

interface PersonProps extends Rooms {
  row: PersonRow /** Blobs of all its names. */
  stated: readonly string[]
  statements: readonly Held[]
  people: readonly PersonRow[]
  names: ReadonlyMap<string, string>
  contacts: Contacts
}

function Person({ row, stated, statements, people, names, contacts, ...rooms }: PersonProps) {
  return (
    <li class="person">
      <h2 class="step-phase">
        <PersonName {...rooms} row={row} />, {ROLES[row.role]}
      </h2>
      {row.invited.map((until) => (
        <p key={until} class="d-text">
          {t(says.invitedUntil, { until: timeWords(until) })}
        </p>
      ))}
      <ul class="plain-list">
        {row.devices.map((device) => (
          <DeviceLine
            key={device.device}
            {...rooms}
            device={device}
            people={people}
            names={names}
            contact={contacts.get(device.device) ?? null}
          />
        ))}
      </ul>
      <Permits
        {...rooms}
        statements={statements}
        person={row.person}
        name={names.get(row.person) ?? t(says.nameNotHere)}
      />
      <Erase {...rooms} of={t(says.ofThisPerson)} values={stated} />
    </li>
  )
}

function DeviceLine({
  device,
  people,
  names,
  contact,
  ...rooms
}: Rooms & {
  device: DeviceSeen
  people: readonly PersonRow[]
  names: ReadonlyMap<string, string>
  contact: ContactRow | null
}) {
  const [isOpen, setOpen] = useState(false)
  const isThis = rooms.store.device.value?.id === device.device
  return (
    <li>
      <p>
        {pieces(says.deviceSince, {
          device: (
            <b title={device.device}>
              <DeviceName {...rooms} device={device} />
            </b>
          ),
          since: timeWords(device.since),
          isThis,
        })}
        {device.revoked === null ? (
          ''
        ) : (
          <b class="act-words">
            . {device.isShut ? t(says.shutOut) : t(says.revoked)}: {device.revoked}
          </b>
        )}
      </p>
      <p class="d-small">{contactWords(contact)}</p>
      {device.revoked === null && rooms.store.writer.value && <NameDevice {...rooms} device={device} />}
      {device.revoked === null && !isThis && rooms.store.writer.value && !isOpen && (
        <button
          type="button"
          class="text-key"
          aria-label={t(says.revokeDevice, { device: deviceName(device.device) })}
          onClick={() => setOpen(true)}
        >
          {t(says.revoke)}
        </button>
      )}
      {device.revoked === null && device.role === 'mechanic' && !isOpen && (
        <Admit {...rooms} device={device} people={people} names={names} />
      )}
      {device.revoked !== null && !device.isShut && <ShutOut {...rooms} device={device.device} />}
      {isOpen && device.revoked === null && (
        <RevokeForm {...rooms} device={device.device} leave={() => setOpen(false)} />
      )}
    </li>
  )
}

/** What it is called in the workshop, and the beginning of its id, which stands on its own screen. */
function DeviceName({ device: { device, name }, ...rooms }: Rooms & { device: DeviceSeen }) {
  const called = useSecret(rooms, name ?? undefined)
  const id = deviceName(device)
  return <>{called === null ? id : t(says.calledAndId, { called, id })}</>
}

function NameDevice({ device, ...rooms }: Rooms & { device: DeviceSeen }) {
  return (
    <FormKey label={t(says.nameDevice, { device: deviceName(device.device) })}>
      {(leave) => <NameForm {...rooms} device={device.device} leave={leave} />}
    </FormKey>
  )
}

const LONGEST_NAME = 60

const nameFault = (name: string) =>
  name !== '' && name.length <= LONGEST_NAME ? undefined : t(says.deviceNameUnfit, { most: LONGEST_NAME })

function NameForm({ device, leave, ...rooms }: Rooms & { device: string; leave: () => void }) {
  const { write } = useWriting(rooms, null)
  const { of, judged, done } = useLine(`device/${device}`, nameFault, leave)
  const act = () => {
    const name = judged()
    if (name === null) return null
    return write(
      async (w) => void (await w.entry('device.named', { device, name: await w.secret('name', name) })),
    ).then(done)
  }
  return (
    <DeskForm
      title={t(says.nameDevice, { device: deviceName(device) })}
      submit={t(says.nameIt)}
      act={act}
      leave={leave}
    >
      <Field label={t(says.name)} hint={t(says.deviceNameHint)} {...of} />
    </DeskForm>
  )
}

function RevokeForm({ device, leave, ...rooms }: Rooms & { device: string; leave: () => void }) {
  return (
    <BecauseForm
      {...rooms}
      title={t(says.revokeDevice, { device: deviceName(device) })}
      submit={t(says.revokeIt)}
      means={t(says.revokeMeans)}
      hint={t(says.revokeWhyHint)}
      state={stating('device.revoked', { device })}
      leave={leave}
    />
  )
}

const STANDS = Object.entries(wordsOf(says.minutes)).map(([value, words]) => ({ value, words }))

interface InviteProps extends Rooms {
  rows: readonly PersonRow[]
  names: ReadonlyMap<string, string>
  statements: readonly Held[]
}

function Invite({ rows, names, statements, ...rooms }: InviteProps) {
  const { write } = useWriting(rooms, null)
  const [draft, setDraft] = useState({ person: '', name: '', role: 'mechanic', minutes: '60' })
  const [limits, setLimits] = useState<ScopeDraft>({ from: '', to: '', end: '', values: 'all' })
  const [fault, setFault] = useState<string | undefined>(undefined)
  const [invited, setInvited] = useState<Invited | null>(null)
  const act = () => {
    const name = draft.name.normalize('NFC').trim()
    const isNew = draft.person === ''
    const found =
      !isNew || (name !== '' && name.length <= 200)
        ? undefined
        : name === ''
          ? t(says.nameMissing)
          : t(says.nameTooLong)
    setFault(found)
    const device = rooms.store.device.value
    if (found !== undefined || !device) return null
    const scope = scopeOf(limits)
    const asked = {
      role: draft.role as Role,
      person: isNew ? null : draft.person,
      name,
      minutes: Number(draft.minutes),
      ...(scope ? { scope } : {}),
    }
    return invite(asked, device, write, {
      now: new Date(),
      random: randomBytes,
      origin: location.origin,
    }).then((made) => {
      setInvited(made)
      void rooms.sync.now()
    })
  }
  if (invited)
    return (
      <Link
        {...rooms}
        invited={invited}
        held={statements.find(({ entry }) => entry.id === invited.entry)}
        leave={() => setInvited(null)}
      />
    )
  const person = (id: string) =>
    setDraft({ ...draft, person: id, role: rows.find((row) => row.person === id)?.role ?? draft.role })
  return (
    <DeskForm title={t(says.inviteSomebody)} submit={t(says.makeTheInvitation)} act={act}>
      <Choose
        label={t(says.who)}
        value={draft.person}
        onValue={person}
        options={[
          { value: '', words: t(says.somebodyNew) },
          ...rows.flatMap(({ person: id }) =>
            names.has(id) ? [{ value: id, words: t(says.withAnotherDevice, { name: names.get(id)! }) }] : [],
          ),
        ]}
      />
      {draft.person === '' && (
        <Field
          label={t(says.name)}
          hint={t(says.privateValue)}
          value={draft.name}
          onValue={(name) => setDraft({ ...draft, name })}
          fault={fault}
        />
      )}
      <Choose
        label={t(says.comesAs)}
        value={draft.role}
        onValue={(role) => setDraft({ ...draft, role })}
        options={Object.entries(ROLES).map(([value, words]) => ({ value, words }))}
      />
      {draft.role === 'auditor' && <Limits limits={limits} setLimits={setLimits} />}
      <Choose
        label={t(says.standsFor)}
        value={draft.minutes}
        onValue={(minutes) => setDraft({ ...draft, minutes })}
        options={STANDS}
      />
    </DeskForm>
  )
}

const VALUES = Object.entries(wordsOf(says.values)).map(([value, words]) => ({ value, words }))

/** An auditor sees every job, unless it is said here which. */
function Limits({ limits, setLimits }: { limits: ScopeDraft; setLimits: (limits: ScopeDraft) => void }) {
  const day = (label: string, name: 'from' | 'to' | 'end', hint: string) => (
    <Field
      label={label}
      type="date"
      hint={hint}
      value={limits[name]}
      onValue={(value) => setLimits({ ...limits, [name]: value })}
    />
  )
  return (
    <>
      {day(t(says.seesFrom), 'from', t(says.seesFromHint))}
      {day(t(says.upTo), 'to', t(says.seesUpToHint))}
      {day(t(says.lastDay), 'end', t(says.lastDayHint))}
      <Choose
        label={t(says.valuesRead)}
        value={limits.values}
        onValue={(values) => setLimits({ ...limits, values: values as ScopeDraft['values'] })}
        options={VALUES}
      />
    </>
  )
}

/** The link, once: whoever has it gets in. */
function Link({
  invited,
  held,
  leave,
  store,
}: Rooms & { invited: Invited; held: Held | undefined; leave: () => void }) {
  const [isCopied, setCopied] = useState(false)
  const isThere = held !== undefined && held.index !== null
  const copy = () =>
    void navigator.clipboard.writeText(invited.link).then(
      () => setCopied(true),
      () => setCopied(false),
    )
  return (
    <section class="desk-form">
      <h2 class="phase-head">{t(says.handThisLinkOver)}</h2>
      <p class="d-text" role="status">
        {isThere ? t(says.linkMeans, { until: timeWords(invited.until) }) : t(says.onlyHere)}
      </p>
      {isThere && <Code text={invited.link} />}
      <pre class="command" tabIndex={0}>
        {invited.link}
      </pre>
      <p class="step-acts">
        <button type="button" class="text-key text-key-main" onClick={copy}>
          {isCopied ? t(says.copied) : t(says.copyTheLink)}
        </button>
        <TextKey says={t(says.itIsHandedOver)} onPress={leave} />
      </p>
      <p class="d-text">{t(says.compareFingerprint)}</p>
      <p class="hash">{inFours(store.device.value?.workshop ?? '')}</p>
    </section>
  )
}
