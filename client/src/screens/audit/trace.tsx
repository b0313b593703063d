/** From a lot or a tool to every job it went into: one line a job, as far as it has come. */
import { useEffect, useState } from 'preact/hooks'
import { useFitted, useStatements } from '../office/from-store'
import { isoDay, kmWords, timeWords } from '../../work/format'
import { PageHead, TroubleLine } from '../office/shell'
import { rowOfTool, toolsOf } from '../../work/statements'
import { Checks } from '../office/checks'
import type { Trouble } from '../../store'
import { useSecret } from '../secret'
import type { Rooms } from '../rooms'
import { lotsOf } from '../../work/lots'
import { recallOf, recallsOf } from '../../work/recalls'
import { inOrder, itemOf, traceRow, tracedOf, type Traced, type TraceRow } from '../../work/trace'
import { takeBag } from './bag'

export function Trace({ item, ...rooms }: Rooms & { item: string | null }) {
  const traced = tracedOf(item)
  return traced ? <Traces key={itemOf(traced)} {...rooms} traced={traced} /> : <ChooseTrace {...rooms} />
}

function ChooseTrace(rooms: Rooms) {
  const statements = useStatements(rooms)
  const fitted = useFitted(rooms)
  if (statements === null || fitted === null) return <p role="status">Reading the jobs.</p>
  const lots = lotsOf(fitted, [])
    .map(({ lot }) => lot)
    .sort()
  const tools = toolsOf(statements, isoDay(new Date()))
  return (
    <>
      <PageHead>Trace a lot or a tool</PageHead>
      <div class="two-lists">
        <section>
          <h2 class="phase-head">Lots that were fitted</h2>
          <Choices names={lots.map((lot) => ({ item: itemOf({ by: 'lot', name: lot }), words: lot }))} />
        </section>
        <section>
          <h2 class="phase-head">Tools</h2>
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
  if (names.length === 0) return <p class="d-text">None yet.</p>
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

/** Read from the logs that are here: nothing the server says is taken for the trace. */
function useTrace({ store }: Rooms, traced: Traced): readonly TraceRow[] | null {
  const [rows, setRows] = useState<readonly TraceRow[] | null>(null)
  const changed = store.changed.value
  useEffect(() => {
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
  }, [changed])
  return rows
}

function Traces({ traced, ...rooms }: Rooms & { traced: Traced }) {
  const rows = useTrace(rooms, traced)
  const statements = useStatements(rooms) ?? []
  const recall = traced.by === 'lot' ? recallOf(recallsOf(statements), traced.name) : null
  const tool = traced.by === 'tool' ? rowOfTool(toolsOf(statements, isoDay(new Date())), traced.name) : null
  if (rows === null) return <p role="status">Reading the jobs.</p>
  const count = (least: number) => rows.filter(({ reach }) => reach >= least).length
  return (
    <>
      <PageHead>
        {traced.by === 'lot' ? `Lot ${traced.name}` : `${traced.name}${tool ? `, ${tool.label}` : ''}`}
      </PageHead>
      <p class="d-text">
        {rows.length === 1 ? 'One job' : `${rows.length} jobs`}, {count(3)} closed, {count(4)} approved.
        {recall ? ` Recalled ${timeWords(recall.at)}: ${recall.because}` : ''}
      </p>
      {rows.length > 0 && <Lines {...rooms} traced={traced} rows={rows} />}
      {rows.length > 0 && (
        <p class="d-text trace-note">
          A line that stops has not arrived. Those that left without being approved stand first.
        </p>
      )}
      {tool && (
        <section>
          <h2 class="phase-head">Its checks</h2>
          <Checks checks={tool.checks} />
        </section>
      )}
      {rows.length > 0 && <TakeAll {...rooms} rows={rows} />}
    </>
  )
}

const headsOf = (by: Traced['by']) =>
  [by === 'lot' ? 'fitted' : 'measured', 'vehicle', 'closed', 'approved'] as const

function Lines({ traced, rows, ...rooms }: Rooms & { traced: Traced; rows: readonly TraceRow[] }) {
  const heads = headsOf(traced.by)
  return (
    <table class="trace">
      <thead>
        <tr>
          {heads.map((name) => (
            <th key={name} scope="col">
              {name}
            </th>
          ))}
        </tr>
      </thead>
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
    column < reach ? 'reached' : column === reach ? 'reached last' : 'short'
  return (
    <tr>
      <td class={reached(1)} data-head={heads[0]}>
        {timeWords(first.at)}
        {by === 'tool' ? `, ${times === 1 ? 'once' : `${times} readings`}` : ''}
      </td>
      <td class={reached(2)} data-head={heads[1]}>
        <a href={`#/audit/find/${encodeURIComponent(trace.row.job)}`}>{plate ?? 'plate not here'}</a>,{' '}
        {kmWords(trace.row.odometerKm)}
      </td>
      <td class={reached(3)} data-head={heads[2]}>
        {trace.closedAt === null ? 'still open' : timeWords(trace.closedAt)}
      </td>
      <td class={reached(4)} data-head={heads[3]}>
        {trace.approvedAt === null ? 'not approved' : timeWords(trace.approvedAt)}
      </td>
    </tr>
  )
}

const DISCLOSED = { vin: true, notes: false, originals: false }

/** One bag a job, one after the other; what went wrong with one is told, and the others go on from there. */
function TakeAll({ rows, sync }: Rooms & { rows: readonly TraceRow[] }) {
  const [taken, setTaken] = useState<number | null>(null)
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const take = async () => {
    setTrouble(null)
    for (const [at, { row }] of rows.entries()) {
      setTaken(at)
      const found = await takeBag(sync, row.job, DISCLOSED)
      if (found) {
        setTrouble(found)
        break
      }
    }
    setTaken(null)
  }
  return (
    <div class="under-list">
      <button type="button" class="desk-key t-key" disabled={taken !== null} onClick={() => void take()}>
        {taken === null
          ? `Take ${rows.length === 1 ? 'the one' : `the ${rows.length}`} away`
          : `Packing ${taken + 1} of ${rows.length}`}
      </button>
      <TroubleLine trouble={trouble} />
    </div>
  )
}
