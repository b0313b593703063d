/** A call is taken: one thing a screen, what may hurt first. Nothing must be known; what was typed stays when one goes back. */
import type { JSX } from 'preact'
import { useEffect, useState } from 'preact/hooks'
import { uuid7 } from '../../../ledger/uuid'
import { clearOf, draftOfCall, NO_ENQUIRY, type EnquiryDraft } from '../../../work/enquiry'
import { stageAt, stagesOf, type Stage } from '../../../work/enquiry-stages'
import { carriedCall, type CarriedCall } from '../../../work/opening'
import { takeCall } from '../../../work/write-enquiry'
import type { Rooms } from '../../rooms'
import { reading } from '../../reading'
import { useCall } from '../../use-call'
import { useAct } from '../act'
import { useDraft } from '../drafts'
import { goBay } from '../nav'
import { useResume } from '../resume-draft'
import { Advice } from './advice'
import { AskStage, NoticedStage, PlaceStage, SevereStage } from './choices'
import { DueStage } from './due'
import { CallerStage, FittedKmStage, FittedStage, IntervalStage, OdometerStage, PlateStage } from './typed'
import { EngineStage } from './engine'
import { SumStage, typedInCall } from './sum'
import type { StageProps } from './props'
import * as words from '../../../words/en/bay/enquiry/take-call'
import { t } from '../../../words/message'

/** The screen of each stage that is no question of the triage. */
const SCREENS = {
  noticed: NoticedStage,
  place: PlaceStage,
  advice: Advice,
  caller: CallerStage,
  plate: PlateStage,
  engine: EngineStage,
  odometer: OdometerStage,
  fitted: FittedStage,
  fitted_km: FittedKmStage,
  interval: IntervalStage,
  severe: SevereStage,
  due: DueStage,
} satisfies Partial<Record<Stage, (props: StageProps) => JSX.Element>>

const hasOwnScreen = (stage: Stage): stage is keyof typeof SCREENS => stage in SCREENS

/** @param job that of a call which is changed; null: a new one */
export function TakeCall({ job, ...props }: Rooms & { asked: string | undefined; job: string | null }) {
  const [before, setBefore] = useState<CarriedCall | null | 'coming'>(job === null ? null : 'coming')
  const { store } = props
  useEffect(() => (job === null ? undefined : reading(carriedCall(store, job), setBefore)), [store, job])
  if (before === 'coming') return <main class="bay" aria-busy="true" />
  return <Taking {...props} before={before} />
}

function Taking({
  asked,
  before,
  ...rooms
}: Rooms & { asked: string | undefined; before: CarriedCall | null }) {
  const { store } = rooms
  const changed = before?.row.job
  const start = before ? draftOfCall(before.row.body, before.values) : NO_ENQUIRY
  const [draft, setDraft, forget, since] = useDraft<EnquiryDraft>(['call', changed ?? ''], start)
  const [left, setLeft, forgetLeft] = useDraft(['call', 'at', changed ?? ''], '')
  const at = (stage: string) => {
    setLeft(stage)
    goBay('call', stage, ...(changed === undefined ? [] : [changed]))
  }
  // Of a caller who called before, perhaps. A page that was loaded anew is where it was.
  const resume = useResume(since, (asked ?? '') !== left)
  const call = useCall(rooms, draft)
  const { interval, verdict, warned } = call
  const { trouble, run } = useAct()
  const stages = stagesOf(draft, interval !== null)
  const stage = stageAt(asked, draft, stages)
  const go = (by: number, of: readonly Stage[] = stages) => {
    const next = of[of.indexOf(stage) + by]
    if (next) at(next)
    else if (changed === undefined) goBay()
    else goBay('call', changed)
  }
  const props: StageProps = {
    ...call,
    draft,
    set: (part) => setDraft({ ...draft, ...part }),
    /** What was chosen may change what is asked next. */
    choose: (part) => {
      const next = { ...draft, ...part }
      setDraft(next)
      go(1, stagesOf(next, interval !== null))
    },
    on: () => go(1),
    back: () => go(-1),
  }
  const keep = () => {
    const job = changed ?? uuid7(Date.now(), crypto.getRandomValues(new Uint8Array(10)))
    return run(
      () => takeCall(store, job, draft, clearOf(draft, interval, verdict), warned, before),
      t(words.callIsKept),
      () => goBay('call', job),
      forget,
      forgetLeft,
    )
  }
  if (resume)
    return resume({
      title: t(words.isBegun),
      typed: typedInCall(draft),
      goOn: () => at(stageAt(left, draft, stages)),
      throwAway: () => {
        setDraft(start)
        setLeft('')
      },
      back: () => (changed === undefined ? goBay() : goBay('call', changed)),
    })
  if (stage === 'sum') return <SumStage {...props} rooms={rooms} trouble={trouble} keep={keep} />
  if (!hasOwnScreen(stage)) return <AskStage key={stage} {...props} ask={stage} />
  const Screen = SCREENS[stage]
  return <Screen {...props} />
}
