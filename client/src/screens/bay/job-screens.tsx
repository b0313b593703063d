/** One job: reads it anew whenever something was kept, and shows the screen that the address or the log asks for. */
import { useEffect, useState } from 'preact/hooks'
import type { Entry } from '../../ledger/entry'
import type { HeadProps } from '../../parts/head'
import type { Held, Intent, JobRow } from '../../store'
import { jobPlaces } from '../../work/entry-places'
import { headRule, needsTaking, type JobNow } from '../../work/job'
import { isAtItsEnd } from '../../work/ending'
import { stopsOf, type StopNow } from '../../work/stops'
import type { Rooms } from '../rooms'
import { onceSeen, useAct } from './act'
import { useDoubtedStops } from './doubted'
import { shownIn } from './address'
import {
  Blocked,
  Close,
  Closed,
  End,
  FoundRoom,
  HandOver,
  JobPlaces,
  Look,
  Note,
  Order,
  Park,
  Parked,
  Plan,
  Question,
  ReadStep,
  RedoScreen,
  Reopen,
  Stop,
  Take,
  Tools,
  Torques,
} from './chunks'
import type { InJob } from './in-job'
import { inJob } from './nav'
import { NotHere, type Lacking } from './not-here'
import { readJob, readOn, readStatements } from './read-job'
import { StepScreens } from './step-screens'

/** Where in the job, as the address says it. */
interface JobProps extends Rooms {
  job: string
  screen: string
  parts: string[]
}

/** The job as it was read. */
interface Loaded {
  row: JobRow
  now: JobNow
  statements: Held[]
  intent: Intent | null
  plate: string | null
}

async function load(store: Rooms['store'], job: string): Promise<Loaded | Lacking> {
  const [row, statements, intent] = await Promise.all([store.job(job), readStatements(store), store.intent()])
  if (!row) return 'none'
  const [now, plate] = await Promise.all([readJob(store, row, statements), store.secretValue(row.plate)])
  if (now) return { row, now, statements, intent, plate }
  const kept = (await store.bundles()).find(({ bundle }) => bundle === row.bundle)
  return kept?.because?.code === 'bundle-newer' ? 'newer' : 'no-bundle'
}

const on = (was: Loaded, now: JobNow): Loaded => ({ ...was, row: now.row, now })

/** What was read says nothing new: `now` is another one as soon as anything in it is, and so is what it was read of. */
const isSame = (was: Loaded | Lacking | null, found: Loaded | Lacking): boolean =>
  was !== null &&
  typeof was !== 'string' &&
  typeof found !== 'string' &&
  was.now === found.now &&
  was.plate === found.plate &&
  JSON.stringify(was.intent) === JSON.stringify(found.intent)

export function JobScreens(props: JobProps) {
  const { store, job } = props
  const [loaded, setLoaded] = useState<Awaited<ReturnType<typeof load>> | null>(null)
  useEffect(() => {
    let newest = 0
    const read = () => {
      const nth = ++newest
      onceSeen(
        () => load(store, job),
        (found) => nth === newest && setLoaded((was) => (isSame(was, found) ? was : found)),
        nth === 1,
      )
    }
    // A phone that was put away may have to look first.
    const again = () => document.visibilityState === 'visible' && read()
    document.addEventListener('visibilitychange', again)
    const deaf = store.changed.subscribe(read) // not as a value of this screen: that would draw it with each change
    return () => {
      newest = 0
      deaf()
      document.removeEventListener('visibilitychange', again)
    }
  }, [store, job])
  if (loaded === null) return <main class="bay" aria-busy="true" />
  if (typeof loaded === 'string') return <NotHere what={loaded} />
  const goOn = (entries: readonly Entry[]) =>
    setLoaded((was) =>
      was === null || typeof was === 'string'
        ? was
        : on(was, readOn(store, was.now, entries, was.statements)),
    )
  return <LoadedJob at={props} loaded={loaded} goOn={goOn} />
}

/** Where in the job, what was read of it, and what its screens share. */
interface Showing {
  at: JobProps
  loaded: Loaded
  shared: InJob
}

type Read = Omit<Showing, 'shared'> & { goOn: Parameters<typeof useAct>[0] }

function LoadedJob({ at, loaded, goOn }: Read) {
  const act = useAct(goOn)
  const { store, job, screen, parts } = at
  const { now, plate } = loaded
  const to = inJob(job)
  const asked = screen === 'step' ? stepOf(now, parts[0]) : undefined
  const shown = asked ?? now.current ?? now.standing
  const head: HeadProps = {
    job: plate ?? now.bundle.vehicle,
    step: shown?.step.number || null,
    places: jobPlaces(now.held),
    rule: headRule(now),
    onOpen: () => to('order'),
  }
  const framed = { head, trouble: act.trouble }
  const shared = { store, job, now, act, head, framed, to, onward: () => to() }
  return <Addressed at={at} loaded={loaded} shared={shared} />
}

const stepOf = ({ steps }: JobNow, id: string | undefined) => steps.find(({ step }) => step.id === id)

function Addressed({ at, loaded, shared }: Showing) {
  const { screen, parts, sync } = at
  const { now } = shared
  switch (shownIn(screen, loaded.row.end !== null)) {
    case 'step': {
      const stop = stopBefore(loaded, parts)
      if (stop) return <Stop key={stop.name} {...shared} stop={stop} />
      // What is not sure is looked at before any step; a failure can be told at any time.
      return now.look && parts[1] !== 'fail' ? (
        <Look key={now.look.condition} {...shared} look={now.look} />
      ) : (
        <StepScreens shared={shared} parts={parts} statements={loaded.statements} intent={loaded.intent} />
      )
    }
    case 'order':
      return <Order {...shared} sync={sync} />
    case 'read': {
      const asked = stepOf(now, parts[0])
      if (!asked) return <NotHere what="none" />
      const { statements } = loaded
      return <ReadStep key={parts[0]} {...shared} sync={sync} asked={asked} statements={statements} />
    }
    case 'torques':
      return <Torques {...shared} />
    case 'tools':
      return <Tools {...shared} slot={parts[0]} />
    case 'note':
      return <Note {...shared} about={stepOf(now, parts[0]) ?? null} />
    case 'redo':
      if (isAtItsEnd(now)) return <End {...shared} />
      return <RedoScreen {...shared} />
    case 'question':
      return (
        <Question key={parts[0]} {...shared} sync={sync} asks={parts[0]} isPhoto={parts[1] === 'photo'} />
      )
    case 'reopen': {
      const asked = stepOf(now, parts[0])
      return asked ? <Reopen {...shared} asked={asked} /> : <NotHere what="none" />
    }
    case 'close':
      return loaded.row.end === null ? <Close {...shared} /> : <Closed {...shared} end={loaded.row.end} />
    case 'hand':
      return <HandOver {...shared} sync={sync} />
    case 'places':
      return <JobPlaces {...shared} sync={sync} />
    case 'found':
      return <FoundRoom {...shared} sync={sync} parts={parts} />
    case 'park':
      return <Park {...shared} />
    case 'plan':
      return <Plan {...shared} sync={sync} />
    default:
      return <Onward at={at} loaded={loaded} shared={shared} />
  }
}

/** The last word of it says that it is parked; the screen itself knows whether that stands. */
const rests = ({ held }: JobNow): boolean =>
  held.filter(({ entry: { kind } }) => kind === 'job.parked' || kind === 'job.resumed').at(-1)?.entry.kind ===
  'job.parked'

/** Questions put aside until this phone is opened anew: the work may go on, they are asked again. */
const later = new Set<string>()

/** What the log asks for next. */
function Onward({ at, loaded, shared }: Showing) {
  const { row, statements, intent } = loaded
  const { now, head, store, job, to } = shared
  const device = store.device.value
  const doubted = useDoubtedStops(now, statements)
  const [stop] = row.end === null ? stopsOf(now, doubted) : []
  if (stop) return <Stop key={stop.name} {...shared} stop={stop} />
  const question = now.questions.find(({ entry }) => !later.has(entry))
  if (question)
    return (
      <Question
        key={question.entry}
        {...shared}
        sync={at.sync}
        asks={question.entry}
        isPhoto={false}
        later={() => {
          later.add(question.entry)
          to('order')
        }}
      />
    )
  if (row.end !== null) return <Closed {...shared} end={row.end} />
  if (rests(now)) return <Parked {...shared} sync={at.sync} />
  if (device && needsTaking(now, device))
    return <Take key={row.lastDevice} {...shared} sync={at.sync} row={row} device={device} />
  if (now.look) return <Look key={now.look.condition} {...shared} look={now.look} />
  const inStep = { shared, statements, intent }
  if (intent?.job === job) return <StepScreens {...inStep} parts={[intent.step, 'give', intent.name]} />
  if (now.current) return <StepScreens {...inStep} parts={[now.current.step.id]} />
  if (isAtItsEnd(now)) return <End {...shared} />
  return now.blocked === null ? (
    <Close {...shared} />
  ) : (
    <Blocked head={head} store={store} why={now.blocked} note={() => to('note')} order={() => to('order')} />
  )
}

/** A stop that comes in while a step is under way is shown after it: nothing is left half-way. */
function stopBefore({ now, row }: Loaded, parts: readonly string[]): StopNow | null {
  const asked = stepOf(now, parts[0])
  const isUnderWay = asked?.begunHere === true || asked?.proofs.some(({ entry }) => entry !== null) === true
  return isUnderWay || row.end !== null || parts[1] === 'fail' ? null : (stopsOf(now)[0] ?? null)
}
