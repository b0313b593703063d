/** What revoked devices still sent: nobody is shown it before an owner accepts it. Accept, refuse, shut out. */
import type { HeldDevice, HeldPage } from '../../ledger/answers'
import type { Entry, EntryOf } from '../../ledger/entry'
import { useEffect, useState } from 'preact/hooks'
import type { JobRow } from '../../store'
import type { Answer } from '../../sync'
import { whatKind } from '../../work/history'
import { usePeople } from '../names'
import { Secret } from '../record/steps'
import { dialUnit, dialWords } from '../../work/dial-unit'
import { sizeWords, timeWords } from '../../work/format'
import type { Rooms } from '../rooms'
import { BecauseForm, stating } from './because'
import { groupsOf, rulingOn, type HeldEntry, type HeldGroup, type Ruling } from './held-back'
import { deviceName } from './invite'
import { FormKey } from '../office/form-key'
import { PageHead, TroubleLine } from '../office/shell'
import { TextKey } from '../text-key'
import * as words from '../../words/en/desk/held-back-page'
import { pieces, t } from '../../words/message'
import { reading } from '../reading'

export function HeldBack({ answer, ...rooms }: Rooms & { answer: Answer<{ devices: HeldDevice[] }> | null }) {
  const names = usePeople(rooms)
  const devices = answer?.ok ? answer.value.devices : []
  return (
    <>
      <PageHead>
        {answer?.ok && devices.length === 0 ? t(words.nothingIsHeldBack) : t(words.heldBack)}
      </PageHead>
      <TroubleLine trouble={answer && !answer.ok ? answer.trouble : null} />
      {answer === null && <p role="status">{t(words.askingTheWorkshop)}</p>}
      <p class="d-text">{t(words.heldBackMeans)}</p>
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
  }, [sync, device, entries])
  return groups
}

function OneDevice({ device, name, ...rooms }: Rooms & { device: HeldDevice; name: string }) {
  const groups = useGroups(rooms, device)
  const { entries, bytes, first_received: first, last_received: last } = device
  return (
    <section class="held">
      <h2 class="phase-head">
        {pieces(words.device, {
          name,
          device: <span title={device.device}>{deviceName(device.device)}</span>,
        })}
      </h2>
      <p class="d-text">
        {t(words.heldEntries, {
          n: entries,
          bytes: sizeWords(bytes),
          first:
            first === last
              ? timeWords(last)
              : t(words.fromTo, { first: timeWords(first), last: timeWords(last) }),
          is_shut: device.is_shut,
        })}
      </p>
      {groups === null && <p role="status">{t(words.readingWhatItSent)}</p>}
      {groups?.map((group) => (
        <Group key={group.job ?? ''} {...rooms} group={group} />
      ))}
      {groups && groups.length > 1 && (
        <Rule {...rooms} entries={groups.flatMap((group) => group.entries)} what={t(words.allOfIt)} />
      )}
      {!device.is_shut && <ShutOut {...rooms} device={device.device} />}
    </section>
  )
}

function useJob({ store }: Rooms, job: string | null): JobRow | null {
  const [row, setRow] = useState<JobRow | null>(null)
  const changed = store.changed.value
  useEffect(
    () => reading(job === null ? Promise.resolve(null) : store.job(job), setRow),
    [store, job, changed],
  )
  return row
}

const isOpening = (entry: Entry): entry is EntryOf<'job.opened'> => entry.kind === 'job.opened'

/** So many rows show what it is about; of a flood nobody reads more. */
const SHOWN = 12

function Group({ group, ...rooms }: Rooms & { group: HeldGroup }) {
  const row = useJob(rooms, group.job)
  const [isWhole, setWhole] = useState(false)
  const shown = isWhole ? group.entries : group.entries.slice(0, SHOWN)
  const invented = group.entries.map(({ entry }) => entry).find(isOpening)?.body ?? null
  return (
    <>
      <h3 class="step-phase">
        {group.job === null && t(words.workshopStatements)}
        {row && (
          <a href={`#/desk/jobs/${encodeURIComponent(row.job)}`}>
            <Secret {...rooms} of={row.plate} />, {row.engineCode},{' '}
            {dialWords(row.odometerKm, dialUnit(row.odometerUnit))}
          </a>
        )}
        {group.job !== null &&
          !row &&
          invented &&
          pieces(words.unseenJob, {
            plate: <Secret {...rooms} of={invented.plate} />,
            engine: invented.engine_code,
            odometer: dialWords(invented.odometer_km, dialUnit(invented.odometer_unit)),
          })}
        {group.job !== null && !row && !invented && t(words.missingJob)}
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
        <TextKey says={t(words.showAll, { entries: group.entries.length })} onPress={() => setWhole(true)} />
      )}
      <Rule {...rooms} entries={group.entries} what={t(words.entries, { n: group.entries.length })} />
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

interface RulingWords {
  title: (what: string) => string
  submit: string
  says: string
}

const RULINGS: Record<Ruling, RulingWords> = {
  'work.accepted': {
    title: (what) => t(words.acceptWhat, { what }),
    submit: t(words.acceptIt),
    says: t(words.acceptMeans),
  },
  'work.refused': {
    title: (what) => t(words.refuseWhat, { what }),
    submit: t(words.refuseIt),
    says: t(words.refuseMeans),
  },
}

function Rule({ entries, what, ...rooms }: Rooms & { entries: readonly HeldEntry[]; what: string }) {
  const [ruling, choose] = useState<Ruling | null>(null)
  if (!rooms.store.writer.value) return null
  if (ruling)
    return <RulingForm {...rooms} ruling={ruling} entries={entries} what={what} leave={() => choose(null)} />
  return (
    <p class="step-acts">
      {(Object.keys(RULINGS) as Ruling[]).map((each) => (
        <button key={each} type="button" class="text-key" onClick={() => choose(each)}>
          {RULINGS[each].title(what)}
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
  const { title, submit, says } = RULINGS[ruling]
  const ids = entries.map(({ entry }) => entry.id)
  return (
    <BecauseForm
      {...rooms}
      title={title(what)}
      submit={submit}
      means={says}
      hint={t(words.whyHint)}
      state={(because) => rulingOn(ruling, ids, because)}
      leave={leave}
    />
  )
}

/** For a device that is revoked already. */
export function ShutOut({ device, ...rooms }: Rooms & { device: string }) {
  if (!rooms.store.writer.value) return null
  return (
    <FormKey
      stands="in-row"
      label={t(words.shutTitle)}
      name={t(words.shutTitleOnDevice, { device: deviceName(device) })}
    >
      {(leave) => (
        <BecauseForm
          {...rooms}
          title={t(words.shutDeviceOut, { device: deviceName(device) })}
          submit={t(words.shutItOut)}
          means={t(words.shutMeans)}
          hint={t(words.shutWhyHint)}
          state={stating('device.shut', { device })}
          leave={leave}
        />
      )}
    </FormKey>
  )
}
