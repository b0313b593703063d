/** Who works here and with which devices: invite, revoke. */
import { useState } from 'preact/hooks'
import type { Role } from '../../ledger/bodies'
import type { Held } from '../../store'
import { useSecret } from '../secret'
import { usePeople } from '../names'
import { timeWords } from '../../work/format'
import type { Rooms } from '../rooms'
import { BecauseForm } from './because'
import { Erase } from './erase-form'
import { Choose, DeskForm, Field } from './form'
import { ShutOut } from './held-back-page'
import { deviceName, inFours, invite, randomBytes, scopeOf, type Invited, type ScopeDraft } from './invite'
import { Admit } from './admit'
import { Code } from './qr'
import { useStatements } from '../office/from-store'
import { PageHead } from '../office/shell'
import { peopleOf, type DeviceSeen, type PersonRow } from '../../work/statements'
import { useWriting } from './use-writing'
import * as says from '../../words/en/desk/people'
import { pieces, t } from '../../words/message'

const ROLES: Record<Role, string> = {
  mechanic: t(says.mechanic),
  owner: t(says.owner),
  auditor: t(says.auditor),
}

export function People(rooms: Rooms) {
  const statements = useStatements(rooms)
  const names = usePeople(rooms)
  if (statements === null) return <p role="status">{t(says.readingThePeople)}</p>
  const rows = peopleOf(statements, new Date().toISOString())
  const nobody = rows.filter(({ devices, invited }) => devices.length === 0 && invited.length === 0)
  return (
    <>
      <PageHead>{t(says.title)}</PageHead>
      <ul class="people">
        {rows
          .filter((row) => !nobody.includes(row))
          .map((row) => (
            <Person
              key={row.person}
              {...rooms}
              row={row}
              stated={namesOf(statements, row.person)}
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

/** Every name that was ever stated of a person. */
const namesOf = (statements: readonly Held[], person: string): string[] =>
  statements.flatMap(({ entry, standing }) =>
    entry.kind === 'person.named' && entry.body.person === person && standing !== 'doubted'
      ? [entry.body.name.blob]
      : [],
  )

interface PersonProps extends Rooms {
  row: PersonRow /** Blobs of all its names. */
  stated: readonly string[]
  people: readonly PersonRow[]
  names: ReadonlyMap<string, string>
}

function Person({ row, stated, people, names, ...rooms }: PersonProps) {
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
          <DeviceLine key={device.device} {...rooms} device={device} people={people} names={names} />
        ))}
      </ul>
      <Erase {...rooms} of={t(says.ofThisPerson)} values={stated} />
    </li>
  )
}

function DeviceLine({
  device,
  people,
  names,
  ...rooms
}: Rooms & { device: DeviceSeen; people: readonly PersonRow[]; names: ReadonlyMap<string, string> }) {
  const [isOpen, setOpen] = useState(false)
  const isThis = rooms.store.device.value?.id === device.device
  return (
    <li>
      <p>
        {pieces(says.deviceSince, {
          device: <b title={device.device}>{deviceName(device.device)}</b>,
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

function RevokeForm({ device, leave, ...rooms }: Rooms & { device: string; leave: () => void }) {
  return (
    <BecauseForm
      {...rooms}
      title={t(says.revokeDevice, { device: deviceName(device) })}
      submit={t(says.revokeIt)}
      means={t(says.revokeMeans)}
      hint={t(says.revokeWhyHint)}
      state={(because) => async (w) => void (await w.entry('device.revoked', { device, because }))}
      leave={leave}
    />
  )
}

const STANDS = [
  { value: '10', words: t(says.tenMinutes) },
  { value: '60', words: t(says.oneHour) },
  { value: '1440', words: t(says.oneDay) },
]

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

const VALUES = [
  { value: 'all', words: t(says.allValues) },
  { value: 'vehicle', words: t(says.vinAndPlate) },
  { value: 'none', words: t(says.noValues) },
]

/** An auditor sees every job, unless it is said here which. */
function Limits({ limits, setLimits }: { limits: ScopeDraft; setLimits: (limits: ScopeDraft) => void }) {
  const day = (label: string, name: 'from' | 'to' | 'end', hint: string) => (
    <Field
      label={label}
      type="date"
      hint={hint}
      value={limits[name]}
      onValue={(value) => setLimits({ ...limits, [name]: value })}
      fault={undefined}
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
        <button type="button" class="text-key" onClick={leave}>
          {t(says.itIsHandedOver)}
        </button>
      </p>
      <p class="d-text">{t(says.compareFingerprint)}</p>
      <p class="hash">{inFours(store.device.value?.workshop ?? '')}</p>
    </section>
  )
}
