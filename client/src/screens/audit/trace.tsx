/** From a lot or a tool to every job it went into: one line a job, as far as it has come. */
import { useEffect, useState } from 'preact/hooks'
import { Older } from '../office/job-lines'
import { useFoundJobs } from '../office/found-jobs'
import { useStatements } from '../office/from-store'
import { Heads } from '../office/heads'
import { useLots } from '../office/lots-listed'
import { dialUnit, dialWords } from '../../work/dial-unit'
import { isoDay, timeWords } from '../../work/format'
import { PageHead, TroubleLine } from '../office/shell'
import { rowOfTool, toolsOf } from '../../work/statements'
import { Checks } from '../office/checks'
import { useSecret } from '../secret'
import type { Rooms } from '../rooms'
import { recallOf, recallsOf } from '../../work/recalls'
import { inOrder, itemOf, traceRow, tracedOf, type Traced, type TraceRow } from '../../work/trace'
import { plateWords } from '../../work/vehicle-words'
import { Take } from './take'
import * as says from '../../words/en/audit/trace'
import { t } from '../../words/message'

export function Trace({ item, ...rooms }: Rooms & { item: string | null }) {
  const traced = tracedOf(item)
  return traced ? <Traces key={itemOf(traced)} {...rooms} traced={traced} /> : <ChooseTrace {...rooms} />
}

function ChooseTrace(rooms: Rooms) {
  const statements = useStatements(rooms)
  const { lines, trouble, older } = useLots(rooms)
  if (statements === null || lines === null) return <p role="status">{t(says.readingTheJobs)}</p>
  const lots = lines.filter(({ jobs }) => jobs > 0).map(({ lot }) => lot)
  const tools = toolsOf(statements, isoDay(new Date()))
  return (
    <>
      <PageHead>{t(says.title)}</PageHead>
      <TroubleLine trouble={trouble} />
      {trouble && <p class="d-text">{t(says.onlyOfJobsHere)}</p>}
      <div class="two-lists">
        <section>
          <h2 class="phase-head">{t(says.lotsFitted)}</h2>
          <Choices names={lots.map((lot) => ({ item: itemOf({ by: 'lot', name: lot }), words: lot }))} />
          <Older older={older} label={t(says.moreLots)} />
        </section>
        <section>
          <h2 class="phase-head">{t(says.tools)}</h2>
          <Choices
            names={tools.map(({ tool, label }) => ({
              item: itemOf({ by: 'tool', name: tool }),
              words: `${tool}, ${label}`,
            }))}
          />
        </section>
      </div>
    </>
  )
}

function Choices({ names }: { names: readonly { item: string; words: string }[] }) {
  if (names.length === 0) return <p class="d-text">{t(says.noneYet)}</p>
  return (
    <ul class="plain-list">
      {names.map(({ item, words }) => (
        <li key={item}>
          <a class="beside-job" href={`#/audit/trace/${encodeURIComponent(item)}`}>
            {words}
          </a>
        </li>
      ))}
    </ul>
  )
}

/** The workshop says in which jobs; what the lines say is read from the logs of these, brought and checked. */
function useTrace({ store }: Rooms, traced: Traced, readable: number | null): readonly TraceRow[] | null {
  const [rows, setRows] = useState<readonly TraceRow[] | null>(null)
  useEffect(() => {
    if (readable === null) return undefined
    let gone = false
    const read = async () => {
      const found: TraceRow[] = []
      for (const row of await store.jobs()) {
        const traces = traceRow(row, await store.log(row.job), traced)
        if (gone) return
        if (traces) found.push(traces)
      }
      setRows(inOrder(found))
    }
    void read()
    return () => {
      gone = true
    }
  }, [store, traced, readable])
  return rows
}

function Traces({ traced, ...rooms }: Rooms & { traced: Traced }) {
  const { coming, readable, trouble, older } = useFoundJobs(rooms, traced)
  const rows = useTrace(rooms, traced, readable)
  const statements = useStatements(rooms) ?? []
  const recall = traced.by === 'lot' ? recallOf(recallsOf(statements), traced.name) : null
  const tool = traced.by === 'tool' ? rowOfTool(toolsOf(statements, isoDay(new Date())), traced.name) : null
  if (rows === null) return <p role="status">{coming ? t(says.readingOf, coming) : t(says.readingTheJobs)}</p>
  const count = (least: number) => rows.filter(({ reach }) => reach >= least).length
  return (
    <>
      <PageHead>
        {traced.by === 'lot'
          ? t(says.lot, { name: traced.name })
          : `${traced.name}${tool ? `, ${tool.label}` : ''}`}
      </PageHead>
      <p class="d-text">
        {t(says.jobsOfLot, {
          rows: rows.length,
          closed: count(3),
          approved: count(4),
          isRecalled: recall !== null,
          at: recall ? timeWords(recall.at) : '',
          because: recall?.because ?? '',
        })}
      </p>
      <TroubleLine trouble={trouble} />
      {trouble && <p class="d-text">{t(says.onlyOfJobsHere)}</p>}
      {older && <p class="d-text">{t(says.notAll)}</p>}
      {rows.length > 0 && <Lines {...rooms} traced={traced} rows={rows} />}
      <Older older={older} label={t(says.moreJobs)} />
      {rows.length > 0 && <p class="d-text trace-note">{t(says.linesExplained)}</p>}
      {tool && (
        <section>
          <h2 class="phase-head">{t(says.itsChecks)}</h2>
          <Checks {...rooms} checks={tool.checks} found={tool.found} />
        </section>
      )}
      {rows.length > 0 && <Take {...rooms} jobs={rows.map(({ row }) => row.job)} />}
    </>
  )
}

const headsOf = (by: Traced['by']) =>
  [
    by === 'lot' ? t(says.fitted) : t(says.measured),
    t(says.vehicle),
    t(says.closed),
    t(says.approved),
  ] as const

function Lines({ traced, rows, ...rooms }: Rooms & { traced: Traced; rows: readonly TraceRow[] }) {
  return (
    <table class="trace">
      <Heads names={headsOf(traced.by)} />
      <tbody>
        {rows.map((row) => (
          <OneLine key={row.row.job} {...rooms} trace={row} by={traced.by} />
        ))}
      </tbody>
    </table>
  )
}

function OneLine({ trace, by, ...rooms }: Rooms & { trace: TraceRow; by: Traced['by'] }) {
  const plate = useSecret(rooms, trace.row.plate)
  const { reach, first, times } = trace
  const heads = headsOf(by)
  const reached = (column: number) =>
    column > reach ? 'short' : ['reached', ...(column === reach ? ['last'] : [])].join(' ')
  return (
    <tr>
      <td class={reached(1)} data-head={heads[0]}>
        {timeWords(first.at)}
        {by === 'tool' ? `, ${times === 1 ? t(says.once) : t(says.readings, { times })}` : ''}
      </td>
      <td class={reached(2)} data-head={heads[1]}>
        <a href={`#/audit/find/${encodeURIComponent(trace.row.job)}`}>{plateWords(plate)}</a>,{' '}
        {dialWords(trace.row.odometerKm, dialUnit(trace.row.odometerUnit))}
      </td>
      <td class={reached(3)} data-head={heads[2]}>
        {trace.closedAt === null ? t(says.stillOpen) : timeWords(trace.closedAt)}
      </td>
      <td class={reached(4)} data-head={heads[3]}>
        {trace.approvedAt === null ? t(says.notApproved) : timeWords(trace.approvedAt)}
      </td>
    </tr>
  )
}
