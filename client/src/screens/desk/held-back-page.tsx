/** What revoked devices still sent: nobody is shown it before an owner accepts it. Accept, refuse, shut out. */
import type { HeldDevice, HeldPage } from '../../ledger/answers'
import { useEffect, useState } from 'preact/hooks'
import type { JobRow } from '../../store'
import type { Answer } from '../../sync'
import { whatKind } from '../../work/history'
import { usePeople } from '../names'
import { Secret } from '../record/steps'
import { kmWords, sizeWords, timeWords } from '../../work/format'
import type { Rooms } from '../rooms'
import { DeskForm, Field } from './form'
import { becauseFault } from './drafts'
import { groupsOf, rulingOn, type HeldEntry, type HeldGroup, type Ruling } from './held-back'
import { deviceName } from './invite'
import { PageHead, TroubleLine } from '../office/shell'
import { useWriting } from './use-writing'

export function HeldBack({ answer, ...rooms }: Rooms & { answer: Answer<{ devices: HeldDevice[] }> | null }) {
  const names = usePeople(rooms)
  const devices = answer?.ok ? answer.value.devices : []
  return (
    <>
      <PageHead>{answer?.ok && devices.length === 0 ? 'Nothing is held back' : 'Held back'}</PageHead>
      <TroubleLine trouble={answer && !answer.ok ? answer.trouble : null} />
      {answer === null && <p role="status">Asking the workshop.</p>}
      <p class="d-text">
        What a device sends after it was revoked is in the ledger, signed and dated, and nobody is shown it.
        Accept what an honest hand wrote: it then counts as good, and everybody is given it. Refuse the rest:
        it stays in the ledger and proves nothing.
      </p>
      {devices.map((device) => (
        <OneDevice
          key={device.device}
          {...rooms}
          device={device}
          name={names.get(device.person) ?? 'Name not here'}
        />
      ))}
    </>
  )
}

/** All pages of a device's records; null until they are read. Asked again when their number changes. */
function useGroups({ sync }: Rooms, { device, entries }: HeldDevice): HeldGroup[] | null {
  const [groups, setGroups] = useState<HeldGroup[] | null>(null)
  useEffect(() => {
    let gone = false
    const read = async () => {
      const records: HeldPage['records'] = []
      for (let [since, more] = [0, true]; more && !gone; ) {
        const page = await sync.ask<HeldPage>(`/api/held/${device}?since=${since}`)
        if (!page.ok) return
        records.push(...page.value.records)
        ;[since, more] = [page.value.next, page.value.more]
      }
      const found = await groupsOf(device, records)
      if (!gone) setGroups(found)
    }
    void read()
    return () => {
      gone = true
    }
  }, [device, entries])
  return groups
}

const counted = (count: number, one: string, many: string): string =>
  count === 1 ? `1 ${one}` : `${count} ${many}`

function OneDevice({ device, name, ...rooms }: Rooms & { device: HeldDevice; name: string }) {
  const groups = useGroups(rooms, device)
  const { entries, bytes, first_received: first, last_received: last } = device
  return (
    <section class="held">
      <h2 class="phase-head">
        {name}, device <span title={device.device}>{deviceName(device.device)}</span>
      </h2>
      <p class="d-text">
        {counted(entries, 'entry', 'entries')}, {sizeWords(bytes)}; came in{' '}
        {first === last ? timeWords(last) : `from ${timeWords(first)} to ${timeWords(last)}`}.
        {device.is_shut ? ' It is shut out: nothing more is taken from it.' : ''}
      </p>
      {groups === null && <p role="status">Reading what it sent.</p>}
      {groups?.map((group) => (
        <Group key={group.job ?? ''} {...rooms} group={group} />
      ))}
      {groups && groups.length > 1 && (
        <Rule {...rooms} entries={groups.flatMap((group) => group.entries)} what="all of it" />
      )}
      {!device.is_shut && <ShutOut {...rooms} device={device.device} />}
    </section>
  )
}

function useJob({ store }: Rooms, job: string | null): JobRow | null {
  const [row, setRow] = useState<JobRow | null>(null)
  const changed = store.changed.value
  useEffect(() => {
    let gone = false
    void store.jobs().then((rows) => !gone && setRow(rows.find((each) => each.job === job) ?? null))
    return () => {
      gone = true
    }
  }, [job, changed])
  return row
}

/** So many rows show what it is about; of a flood nobody reads more. */
const SHOWN = 12

function Group({ group, ...rooms }: Rooms & { group: HeldGroup }) {
  const row = useJob(rooms, group.job)
  const [isWhole, setWhole] = useState(false)
  const shown = isWhole ? group.entries : group.entries.slice(0, SHOWN)
  const opening = group.entries.find(({ entry }) => entry.kind === 'job.opened')?.entry.body
  const invented = opening && 'plate' in opening ? opening : null
  return (
    <>
      <h3 class="step-phase">
        {group.job === null && 'Statements about the workshop'}
        {row && (
          <a href={`#/desk/jobs/${encodeURIComponent(row.job)}`}>
            <Secret {...rooms} of={row.plate} />, {row.engineCode}, {kmWords(row.odometerKm)}
          </a>
        )}
        {group.job !== null && !row && invented && (
          <>
            A job that nobody has seen: <Secret {...rooms} of={invented.plate} />, {invented.engine_code},{' '}
            {kmWords(invented.odometer_km)}
          </>
        )}
        {group.job !== null && !row && !invented && 'A job that is not here'}
      </h3>
      <table class="history">
        <tbody>
          {shown.map(({ entry, received }) => (
            <tr key={entry.id}>
              <td>{timeWords(received)}</td>
              <td>{whatKind(entry)}</td>
              <td>
                {wordsIn(entry).map((ref) => (
                  <Secret key={ref.blob} {...rooms} of={ref} />
                ))}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      {group.entries.length > shown.length && (
        <button type="button" class="text-key" onClick={() => setWhole(true)}>
          Show all {group.entries.length}
        </button>
      )}
      <Rule {...rooms} entries={group.entries} what={counted(group.entries.length, 'entry', 'entries')} />
    </>
  )
}

/** What a person wrote in an entry. */
function wordsIn({ body }: HeldEntry['entry']): { blob: string }[] {
  const said = body as Record<string, unknown>
  return ['text', 'words', 'because', 'question'].flatMap((name) => (isRef(said[name]) ? [said[name]] : []))
}

const isRef = (value: unknown): value is { blob: string } =>
  typeof value === 'object' && value !== null && 'blob' in value

const TITLES: Record<Ruling, readonly [key: string, title: string, says: string]> = {
  'work.accepted': [
    'Accept',
    'Accept',
    'It counts as good from then on, and everybody is given it. There is no way back.',
  ],
  'work.refused': [
    'Refuse',
    'Refuse',
    'It stays in the ledger and in bags, marked as doubted; nobody is shown it, and you are not asked again.',
  ],
}

function Rule({ entries, what, ...rooms }: Rooms & { entries: readonly HeldEntry[]; what: string }) {
  const [ruling, choose] = useState<Ruling | null>(null)
  if (!rooms.store.writer.value) return null
  if (ruling)
    return <RulingForm {...rooms} ruling={ruling} entries={entries} what={what} leave={() => choose(null)} />
  return (
    <p class="step-acts">
      {(Object.keys(TITLES) as Ruling[]).map((each) => (
        <button key={each} type="button" class="text-key" onClick={() => choose(each)}>
          {TITLES[each][0]} {what}
        </button>
      ))}
    </p>
  )
}

function RulingForm({
  ruling,
  entries,
  what,
  leave,
  ...rooms
}: Rooms & { ruling: Ruling; entries: readonly HeldEntry[]; what: string; leave: () => void }) {
  const { write } = useWriting(rooms, null)
  const { because, field, checked } = useBecause('It stays in the ledger for everybody: no names.')
  const act = () =>
    checked()
      ? write(
          rulingOn(
            ruling,
            entries.map(({ entry }) => entry.id),
            because,
          ),
        ).then(leave)
      : null
  const [key, title, says] = TITLES[ruling]
  return (
    <DeskForm title={`${title} ${what}`} submit={`${key} it`} act={act} leave={leave}>
      <p class="d-text">{says}</p>
      {field}
    </DeskForm>
  )
}

/** The reason of a statement: its field, its words as they are stated, and whether they will do. */
function useBecause(hint: string) {
  const [typed, setTyped] = useState('')
  const [fault, setFault] = useState<string | undefined>(undefined)
  const because = typed.normalize('NFC').trim()
  const checked = () => {
    const found = becauseFault(because)
    setFault(found)
    return found === undefined
  }
  return {
    because,
    checked,
    field: <Field label="Why" hint={hint} value={typed} onValue={setTyped} fault={fault} />,
  }
}

/** For a device that is revoked already. */
export function ShutOut({ device, ...rooms }: Rooms & { device: string }) {
  const [isOpen, setOpen] = useState(false)
  const { write } = useWriting(rooms, null)
  const { because, field, checked } = useBecause(
    'Stolen, or it sends what nobody wrote. It stays in the ledger for everybody: no names.',
  )
  if (!rooms.store.writer.value) return null
  if (!isOpen) {
    return (
      <button type="button" class="text-key" onClick={() => setOpen(true)}>
        Shut it out for good<span class="unseen"> (device {deviceName(device)})</span>
      </button>
    )
  }
  const leave = () => setOpen(false)
  const act = () =>
    checked()
      ? write(async (w) => void (await w.entry('device.shut', { device, because }))).then(leave)
      : null
  return (
    <DeskForm title={`Shut device ${deviceName(device)} out`} submit="Shut it out" act={act} leave={leave}>
      <p class="d-text">
        Nothing more is taken from it, not even to be held back. What is on it can still come in by a file
        that it writes, at the workshop's computer. There is no way back.
      </p>
      {field}
    </DeskForm>
  )
}
