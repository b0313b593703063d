/** The end of a job: what is missing for the good one, and the other ends with their reason. */
import { useState } from 'preact/hooks'
import { Choice } from '../../parts/choice'
import { HoldKey, MissingKey, SideKey } from '../../parts/keys'
import type { HeadProps } from '../../parts/head'
import type { Trouble } from '../../store'
import { Facts, Words, asWords } from './bits'
import { Frame } from './frame'
import type { JobNow } from './job'
import type { EndNow } from './view'

export interface CloseProps { head: HeadProps; trouble: Trouble | null; now: JobNow; workshop: string; ends: readonly EndNow[]; close: (end: string, because: string) => Promise<void>; back: () => void }

export function CloseScreen({ head, trouble, now, workshop, ends, close, back }: CloseProps) {
  const [chosen, setChosen] = useState<string | null>(ends.find(({ missing }) => missing.length === 0)?.id ?? null)
  const [typed, setTyped] = useState('')
  const end = ends.find(({ id }) => id === chosen)
  const because = asWords(typed)
  const [gap] = end?.missing ?? []
  return (
    <Frame
      head={head}
      title={end?.missing.length === 0 ? end.name : 'How does the job end?'}
      trouble={trouble}
      deck={
        <>
          <SideKey icon="back" label="back" onPress={back} />
          {!end && <MissingKey label="Choose above" />}
          {end && gap !== undefined && <MissingKey label="Not yet" note={gap.short} />}
          {end && gap === undefined && end.because && because === '' && <MissingKey label="Why first" note="in words" />}
          {end && gap === undefined && !(end.because && because === '') && <HoldKey label="Close the job" note={end.name} done="closed" onHeld={() => close(end.id, because)} />}
        </>
      }
    >
      <Choice label="How does the job end?" rows={ends.map(({ id, name, missing }) => ({ id, says: name, ...(missing.length ? { note: `${missing.length} missing` } : {}) }))} chosen={chosen} onChoose={setChosen} />
      {end && end.missing.length > 0 && (
        <section>
          <h2>In the way</h2>
          <ul class="given">
            {end.missing.map(({ words }) => (
              <li>{words}</li>
            ))}
          </ul>
        </section>
      )}
      {end?.because && end.missing.length === 0 && <Words label="Why does the job end so?" value={typed} onValue={setTyped} />}
      {end && !end.because && end.missing.length === 0 && <Facts facts={handOver(now, workshop)} />}
    </Frame>
  )
}

const kitLabel = ({ bundle }: JobNow, part: string) => bundle.kit.find((each) => each.part === part)?.label ?? part

/** What the driver is told: counted out of the record, not remembered. */
export function handOver(now: JobNow, workshop: string): [string, string][] {
  const lots = now.held.flatMap(({ entry }) => (entry.kind === 'part.fitted' ? [`${kitLabel(now, entry.body.part)} ${entry.body.lot}`] : []))
  const numbered = now.steps.filter(({ step }) => step.number !== '')
  const passed = numbered.filter(({ seal }) => seal === 'passed').length
  return [
    ['vehicle', now.bundle.vehicle],
    ['odometer', `${now.row.odometerKm} km`],
    ['next due', `at ${now.row.odometerKm + now.bundle.interval.km} km or in ${now.bundle.interval.months} months`],
    ['steps', `${numbered.length - passed} hold${passed ? `, ${passed} passed by` : ''}`],
    ['photos', String(now.held.filter(({ entry }) => entry.kind === 'photo.taken').length)],
    ['lots', lots.join(', ') || 'none'],
    ['procedure', `${now.bundle.name}, edition ${now.bundle.edition}`],
    // On paper these two are the cheapest witness of what the record was.
    ['workshop', workshop],
    ['head of the record', now.state.heads.map((head) => head.slice(0, 12)).join(' ')],
  ]
}

export function ClosedScreen({ head, now, workshop, end, jobs }: { head: HeadProps; now: JobNow; workshop: string; end: string; jobs: () => void }) {
  return (
    <Frame
      head={head}
      title={`Closed: ${now.bundle.ends.find(({ id }) => id === end)?.name ?? end}`}
      deck={
        <>
          <SideKey icon="lines" label="all jobs" onPress={jobs} />
          <MissingKey label="Nothing to do" note="the owner looks at it" />
        </>
      }
    >
      <Facts facts={handOver(now, workshop)} />
    </Frame>
  )
}
