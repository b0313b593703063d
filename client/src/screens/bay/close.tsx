/** The end of a job: what is missing for the good one, and the other ends with their reason. */
import { useState } from 'preact/hooks'
import { Choice } from '../../parts/choice'
import { HoldKey, MissingKey, PlainKey, SideKey } from '../../parts/keys'
import type { HeadProps } from '../../parts/head'
import type { SealState } from '../../work/shown'
import { Sign } from '../../parts/signs'
import type { Trouble } from '../../store'
import { newBuild, takeOver } from '../../update'
import { BackKey } from './act-keys'
import { Facts } from './facts'
import { Words, asWords } from './free-words'
import type { EndNow } from '../../work/closing'
import { Frame } from './frame'
import { logEntries } from '../../work/log'
import { inEngine } from '../../work/recalls'
import type { JobNow } from '../../work/job'
import { Recalled } from './recalled'
import { endsOf } from '../../work/closing'
import { closeJob } from '../../work/write'
import type { InJob } from './in-job'
import * as says from '../../words/en/bay/close'
import * as state from '../../words/en/work/state'
import { t } from '../../words/message'

interface CloseProps {
  head: HeadProps
  trouble: Trouble | null
  now: JobNow
  workshop: string
  ends: readonly EndNow[]
  again: (step: string) => void
  close: (end: string, because: string) => Promise<void>
  back: () => void
}

/** What keeps a job from the ends that are not open, behind one row each. */
function NotOpen({ ends }: { ends: readonly EndNow[] }) {
  return ends.map(({ id, name, missing }) => (
    <details key={id} class="phase">
      <summary class="row-key">
        <span class="row-words">
          <b>{name}</b>
          <small>
            {missing.length === 1
              ? t(says.notOpenFor, { missing: missing[0]!.short })
              : t(says.notOpenForMore, { n: missing.length })}
          </small>
        </span>
      </summary>
      <ul class="given">
        {missing.map(({ words }) => (
          <li>{words}</li>
        ))}
      </ul>
    </details>
  ))
}

function CloseScreen({ head, trouble, now, workshop, ends, close, again, back }: CloseProps) {
  const open = ends.filter(({ missing }) => missing.length === 0)
  const [chosen, setChosen] = useState<string | null>(open[0]?.id ?? null)
  // What was found is the likeliest reason, and typing in gloves is slow.
  const [typed, setTyped] = useState(now.lastFailure?.says ?? '')
  const end = open.find(({ id }) => id === chosen)
  const because = asWords(typed)
  return (
    <Frame
      head={head}
      title={end?.name ?? (open.length > 0 ? t(says.howEnded) : t(says.noEndOpen))}
      trouble={trouble}
      side={<BackKey back={back} />}
      main={
        isUnread(now) && newBuild.value ? (
          <PlainKey label={t(says.takeTheNewerApp)} note={t(says.thenEndTheJob)} onPress={takeOver} />
        ) : !end ? (
          <MissingKey label={open.length > 0 ? t(says.chooseAbove) : t(says.notYet)} />
        ) : end.because && because === '' ? (
          <MissingKey label={t(says.whyFirst)} note={t(says.inWords)} />
        ) : (
          <HoldKey
            label={t(says.closeTheJob)}
            note={end.name}
            done={t(says.closed)}
            onHeld={() => close(end.id, end.because ? because : '')}
          />
        )
      }
    >
      <Recalled now={now} again={again} />
      {isUnread(now) && (
        <div class="caution caution-wide" role="status">
          <Sign name="warning" size={58} />
          <p>
            {newBuild.value ? <b>{t(says.updateFirst)}</b> : <b>{t(says.askFirst)}</b>} {t(says.unreadable)}
          </p>
        </div>
      )}
      {open.length > 0 && (
        <Choice
          label={t(says.howEnded)}
          rows={open.map(({ id, name }) => ({ id, says: name }))}
          chosen={chosen}
          onChoose={setChosen}
        />
      )}
      {end?.because && <Words label={t(says.whyEndSo)} value={typed} onValue={setTyped} />}
      {end && !end.because && <Facts facts={handOver(now, workshop, end.id)} />}
      <NotOpen ends={ends.filter(({ missing }) => missing.length > 0)} />
    </Frame>
  )
}

const isUnread = ({ state }: JobNow) => state.exceptions.some(({ code }) => code === 'unread')

const kitLabel = ({ bundle }: JobNow, part: string) =>
  bundle.kit.find((each) => each.part === part)?.label ?? part

/** What the driver is told: counted out of the record, not remembered. A next change is due after a finished job alone. */
export function handOver(now: JobNow, workshop: string, end: string): [string, string][] {
  const lots = inEngine(logEntries(now.held)).map(({ part, lot }) => `${kitLabel(now, part)} ${lot}`)
  const numbered = now.steps.filter(({ step }) => step.number !== '')
  const count = (seal: SealState) => numbered.filter((each) => each.seal === seal).length
  const due = t(says.dueAt, {
    odometerKm: now.row.odometerKm + now.bundle.interval.km,
    months: now.bundle.interval.months,
  })
  const isFinished = now.machine.ends.some(({ id, all_must }) => id === end && all_must)
  return [
    [t(says.vehicleLabel), now.bundle.vehicle],
    [t(says.odometerLabel), t(says.km, { km: now.row.odometerKm })],
    ...(isFinished ? ([[t(says.nextDue), due]] as [string, string][]) : []),
    [
      t(says.stepsLabel),
      t(says.ofHold, {
        count: count('holds'),
        numbered: numbered.length,
        passed: count('passed'),
      }),
    ],
    [t(says.photosLabel), String(now.held.filter(({ entry }) => entry.kind === 'photo.taken').length)],
    [t(says.lotsLabel), lots.join(', ') || t(says.noLots)],
    [t(says.procedureLabel), t(state.edition, { name: now.bundle.name, edition: now.bundle.edition })],
    // On paper these two are the cheapest witness of what the record was.
    [t(says.workshopLabel), workshop],
    [t(says.headOfTheRecord), now.state.heads.map((head) => head.slice(0, 12)).join(' ')],
  ]
}

export function ClosedScreen({
  head,
  now,
  workshop,
  end,
  jobs,
}: {
  head: HeadProps
  now: JobNow
  workshop: string
  end: string
  jobs: () => void
}) {
  return (
    <Frame
      head={head}
      title={t(says.closedAs, { name: now.bundle.ends.find(({ id }) => id === end)?.name ?? end })}
      side={<SideKey icon="lines" label={t(says.allJobs)} onPress={jobs} />}
      main={<MissingKey label={t(says.nothingToDo)} note={t(says.ownerLooks)} />}
    >
      <Recalled now={now} />
      <Facts facts={handOver(now, workshop, end)} />
    </Frame>
  )
}

export function Close({ now, act, head, store, job, to, onward }: InJob) {
  const close = (end: string, because: string) =>
    act.run(() => closeJob(store, job, end, because), t(says.jobIsClosed), onward)
  return (
    <CloseScreen
      head={head}
      trouble={act.trouble}
      now={now}
      workshop={store.device.value?.workshop ?? ''}
      ends={endsOf(now)}
      close={close}
      again={(step) => to('reopen', step)}
      back={() => to('order')}
    />
  )
}
