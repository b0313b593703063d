/** One job: reads it anew whenever something was kept, and shows the screen that the address or the log asks for. */
import { useEffect, useState } from 'preact/hooks'
import type { BoardTool } from '../../work/shown'
import type { HeadProps } from '../../parts/head'
import { PlainKey, SideKey } from '../../parts/keys'
import { saveFile } from '../save-file'
import type { Rooms } from '../rooms'
import { onceSeen, useAct } from './act'
import { CloseScreen, ClosedScreen } from './close'
import { End, isAtItsEnd } from './end'
import { RedoScreen } from './fail'
import { Frame } from './frame'
import type { LookNow } from '../../work/job'
import { readJob, readStatements } from './read-job'
import type { InJob, JobProps, Loaded } from './in-job'
import { goBay, inJob } from './nav'
import { OrderScreen } from './order'
import { PlacesScreen } from './places'
import { QuestionRoom } from './question'
import { StepRoom } from './step-screens'
import { BlockedScreen, LookScreen, NoteScreen, ReopenScreen, StopScreen, TakeScreen } from './talk'
import { LostScreen, ToolsScreen } from './tools'
import {
  boardOf,
  endsOf,
  hangingPin,
  headRule,
  jobPlaces,
  needsTaking,
  priceOf,
  stopsOf,
  type StopNow,
} from '../../work/questions'
import { addNote, closeJob, loseTool, moveTool, reopenStep, seeCondition, takeJob } from '../../work/write'

type Lacking = 'none' | 'no-bundle' | 'newer'

async function load(store: Rooms['store'], job: string): Promise<Loaded | Lacking> {
  const row = (await store.jobs()).find((each) => each.job === job)
  if (!row) return 'none'
  const statements = await readStatements(store)
  const [now, intent, plate] = await Promise.all([
    readJob(store, row, statements),
    store.intent(),
    store.secretValue(row.plate),
  ])
  if (now) return { row, now, statements, intent, plate }
  const kept = (await store.bundles()).find(({ bundle }) => bundle === row.bundle)
  return kept?.because?.code === 'bundle-newer' ? 'newer' : 'no-bundle'
}

const LACKING: Record<Lacking, readonly [title: string, what: string]> = {
  none: ['This job is not on this phone', 'It may come with the next signal.'],
  'no-bundle': [
    'Its procedure is not on this phone yet',
    'It comes with the next signal. Nothing can be done in this job before.',
  ],
  newer: [
    'Update the app to work on this job',
    'Its procedure was made for a newer app. Within reach of the workshop, close all windows of this one and open it again; what is here stays.',
  ],
}

export function JobRoom(props: JobProps) {
  const { store, job } = props
  const [loaded, setLoaded] = useState<Awaited<ReturnType<typeof load>> | null>(null)
  const changed = store.changed.value
  const [shown, setShown] = useState(0)
  useEffect(() => {
    // A phone that was put away may have to look first.
    const again = () => document.visibilityState === 'visible' && setShown((times) => times + 1)
    document.addEventListener('visibilitychange', again)
    return () => document.removeEventListener('visibilitychange', again)
  }, [])
  useEffect(() => {
    let gone = false
    onceSeen(load(store, job), (found) => !gone && setLoaded(found))
    return () => {
      gone = true
    }
  }, [changed, shown, job])
  if (loaded === null) return <main class="bay" aria-busy="true" />
  if (typeof loaded === 'string') return <Missing what={loaded} />
  return <LoadedRoom {...props} {...loaded} />
}

function Missing({ what }: { what: Lacking }) {
  const [title, says] = LACKING[what]
  return (
    <Frame
      title={title}
      deck={
        <>
          <SideKey icon="lines" label="all jobs" onPress={() => goBay()} />
          <PlainKey label="Where it all is" onPress={() => goBay('places')} />
        </>
      }
    >
      <p>{says}</p>
    </Frame>
  )
}

function LoadedRoom(props: JobProps & Loaded) {
  const act = useAct()
  const { now, job, plate } = props
  const to = inJob(job)
  const shown = stepInAddress(props) ?? now.current ?? now.standing
  const head: HeadProps = {
    job: plate ?? now.bundle.vehicle,
    step: shown?.step.number || null,
    places: jobPlaces(now.held),
    rule: headRule(now),
    onOpen: () => to('order'),
  }
  return <Which {...props} act={act} head={head} to={to} onward={() => to()} />
}

const stepInAddress = ({ now, screen, parts }: JobProps & Loaded) =>
  screen === 'step' ? now.steps.find(({ step }) => step.id === parts[0]) : undefined

function Which(room: InJob) {
  switch (room.screen) {
    case 'step': {
      const stop = stopBefore(room)
      if (stop) return <Stop {...room} stop={stop} />
      // What is not sure is looked at before any step; a failure can be told at any time.
      return room.now.look && room.parts[1] !== 'fail' ? (
        <Look {...room} look={room.now.look} />
      ) : (
        <StepRoom {...room} />
      )
    }
    case 'order':
      return <Order {...room} />
    case 'tools':
      return <Tools {...room} />
    case 'note':
      return <Note {...room} />
    case 'redo':
      if (isAtItsEnd(room.now)) return <End {...room} />
      return <RedoScreen head={room.head} now={room.now} goTo={room.onward} order={() => room.to('order')} />
    case 'question':
      return <QuestionRoom {...room} />
    case 'reopen':
      return <Reopen {...room} />
    case 'close':
      return <Close {...room} />
    case 'places':
      return <Places {...room} />
    default:
      return <Onward {...room} />
  }
}

/** Questions put aside until this phone is opened anew: the work may go on, they are asked again. */
const later = new Set<string>()

/** What the log asks for next. */
function Onward(room: InJob) {
  const { now, row, act, head, store, job, to, onward } = room
  const device = store.device.value
  const [stop] = row.end === null ? stopsOf(now) : []
  if (stop) return <Stop {...room} stop={stop} />
  const question = now.questions.find(({ entry }) => !later.has(entry))
  if (question)
    return (
      <QuestionRoom
        {...room}
        parts={[question.entry]}
        later={() => (later.add(question.entry), to('order'))}
      />
    )
  if (row.end !== null)
    return (
      <ClosedScreen
        head={head}
        now={now}
        workshop={device?.workshop ?? ''}
        end={row.end}
        jobs={() => goBay()}
      />
    )
  if (device && needsTaking(now, device)) {
    const since = `The last thing in it was written ${new Date(row.lastAt).toLocaleString('en-GB')}.`
    const take = () => act.run(() => takeJob(store, job), 'The job is taken over.', onward)
    return (
      <TakeScreen
        head={head}
        trouble={act.trouble}
        back={() => goBay()}
        before={row.lastPerson === device.person ? 'Another phone' : 'Somebody else'}
        since={since}
        take={take}
      />
    )
  }
  if (now.look) return <Look {...room} look={now.look} />
  if (room.intent?.job === job)
    return <StepRoom {...room} screen="step" parts={[room.intent.step, 'give', room.intent.name]} />
  if (now.current) return <StepRoom {...room} screen="step" parts={[now.current.step.id]} />
  if (isAtItsEnd(now)) return <End {...room} />
  return now.blocked === null ? (
    <Close {...room} />
  ) : (
    <BlockedScreen head={head} why={now.blocked} note={() => to('note')} order={() => to('order')} />
  )
}

/** A stop that comes in while a step is under way is shown after it: nothing is left half-way. */
function stopBefore({ now, row, parts }: InJob): StopNow | null {
  const asked = now.steps.find(({ step }) => step.id === parts[0])
  const isUnderWay = asked?.begunHere === true || asked?.proofs.some(({ entry }) => entry !== null) === true
  return isUnderWay || row.end !== null || parts[1] === 'fail' ? null : (stopsOf(now)[0] ?? null)
}

function Stop({ act, head, store, job, to, onward, stop }: InJob & { stop: StopNow }) {
  const seen = () =>
    act.run(() => addNote(store, job, `Seen: ${stop.fact}`, { name: stop.name }), 'Recorded as seen.', onward)
  return <StopScreen head={head} trouble={act.trouble} back={() => to('order')} stop={stop} seen={seen} />
}

function Look({ now, act, head, store, job, to, onward, look }: InJob & { look: LookNow }) {
  const seen = (value: string) =>
    act.run(
      () => seeCondition(store, job, look.condition, value, hangingPin(now, look.condition, value)),
      'Recorded.',
      onward,
    )
  return (
    <LookScreen
      key={look.condition}
      head={head}
      trouble={act.trouble}
      now={now}
      look={look}
      seen={seen}
      back={onward}
      order={() => to('order')}
    />
  )
}

function Places({ store, sync, job, head, act, to }: InJob) {
  const write = async () => saveFile(await store.exportJob(job), `two-turns-${job}.zip`)
  const writeNow = () => void act.run(write, 'The job is written to a file.', null).catch(() => undefined) // `trouble` shows it
  return (
    <PlacesScreen
      counts={{ ...store.places.value, ...head.places }}
      sync={sync.status.value}
      send={() => void sync.now()}
      back={() => to('order')}
      write={writeNow}
      trouble={act.trouble}
    />
  )
}

function Order({ now, head, to, onward }: InJob) {
  return (
    <OrderScreen
      now={now}
      job={head.job}
      goOn={onward}
      jobs={() => goBay()}
      step={(step) => to('step', step)}
      reopen={(step) => to('reopen', step)}
      tools={() => to('tools')}
      note={() => to('note')}
      places={() => to('places')}
      close={() => to('close')}
    />
  )
}

function Tools({ now, act, head, store, job, to, onward, parts }: InJob) {
  const tools = boardOf(now)
  const lost = tools.find(({ slot }) => slot === parts[0])
  if (lost) {
    const keep = (because: string) =>
      act.run(
        () => loseTool(store, job, lost.slot, because),
        'Recorded as lost.',
        () => to('tools'),
      )
    return <LostScreen head={head} trouble={act.trouble} tool={lost} keep={keep} back={() => to('tools')} />
  }
  const move = (tool: BoardTool) => {
    const said = `${tool.tag ?? tool.label} ${tool.out ? 'on the board' : 'taken'}.`
    act
      .run(() => moveTool(store, job, tool.slot, !tool.out, tool.id, null), said, null)
      .catch(() => undefined) // `trouble` shows it
  }
  return (
    <ToolsScreen
      head={head}
      trouble={act.trouble}
      tools={tools}
      move={move}
      lost={(tool) => to('tools', tool.slot)}
      back={() => to('order')}
      goOn={onward}
    />
  )
}

function Note({ now, act, head, store, job, to, onward, parts }: InJob) {
  const about = now.steps.find(({ step }) => step.id === parts[0]) ?? null
  const keep = (text: string) =>
    act.run(
      () => addNote(store, job, text, about ? { step: about.step.id } : {}),
      'The note is kept.',
      onward,
    )
  return <NoteScreen head={head} trouble={act.trouble} about={about} keep={keep} back={() => to('order')} />
}

function Reopen({ now, act, head, store, job, to, parts }: InJob) {
  const asked = now.steps.find(({ step }) => step.id === parts[0])
  if (!asked) return <Missing what="none" />
  const reopen = (because: string) =>
    act.run(
      () => reopenStep(store, job, asked.step.id, because),
      `${asked.step.number} is open again.`,
      () => to('redo'),
    )
  return (
    <ReopenScreen
      head={head}
      trouble={act.trouble}
      now={now}
      asked={asked}
      price={priceOf(now, asked)}
      reopen={reopen}
      back={() => to('order')}
    />
  )
}

function Close({ now, act, head, store, job, to, onward }: InJob) {
  const close = (end: string, because: string) =>
    act.run(() => closeJob(store, job, end, because), 'The job is closed.', onward)
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
