/** What needs eyes first: blades in the order of risk, and the job under the chosen one at the side. */
import { Drive, driveState } from '../../parts/drive'
import { Rule } from '../../parts/rule'
import type { Rooms } from '../rooms'
import { useRecord } from '../record/fetched'
import { EyesFirst } from '../record/head'
import { listed, type JobRecord } from '../record/record'
import type { Answer } from '../../sync'
import { nameOf, BLADES, type DeskRow, type Line } from './eyes-order'
import { PageHead, TroubleLine } from './shell'

function LineRow({ line, chosen, choose }: { line: Line; chosen: boolean; choose: () => void }) {
  const blade = BLADES[line.blade]!
  return (
    <li>
      <button type="button" class="blade-row" aria-pressed={chosen} onClick={choose}>
        <span class="blade" style={{ height: `${blade.thick}px` }} aria-hidden="true" />
        <strong style={{ fontSize: `clamp(20px, ${blade.size / 12.8}vw + 8px, ${blade.size}px)` }}>{line.head}</strong>
        <span class="d-text">{line.says}</span>
      </button>
    </li>
  )
}

export function Eyes({ answer, lines, whole, chosen, choose }: { answer: Answer<{ jobs: DeskRow[] }> | null; lines: Line[]; whole: DeskRow[]; chosen: string | null; choose: (job: string) => void }) {
  return (
    <>
      <PageHead>{lines.length > 0 ? 'Eyes first' : answer?.ok ? 'Nothing asks for eyes' : 'Eyes first'}</PageHead>
      <TroubleLine trouble={answer && !answer.ok ? answer.trouble : null} />
      <ul class="blades">
        {lines.map((line) => (
          <LineRow line={line} chosen={line.row.job === chosen} choose={() => choose(line.row.job)} />
        ))}
      </ul>
      {answer?.ok && <p class="d-text whole-line">{wholeWords(whole)}</p>}
    </>
  )
}

function wholeWords(whole: readonly DeskRow[]): string {
  const open = whole.filter(({ state }) => state === 'open').length
  const approved = whole.length - open
  const words = [open > 0 ? `${open} in work with nothing to ask` : '', approved > 0 ? `${approved} approved` : ''].filter(Boolean)
  return words.length > 0 ? `Besides: ${words.join(', ')}.` : ''
}

export function Beside({ job, row, open, ...rooms }: Rooms & { job: string; row: DeskRow | undefined; open: () => void }) {
  const reading = useRecord(rooms, job)
  return (
    <>
      <h2 class="d-head">{row ? nameOf(row) : 'The job'}</h2>
      {reading.at === 'here' && <Glance record={reading.record} />}
      {reading.at === 'missing' && <TroubleLine trouble={reading.trouble} />}
      <button type="button" class="wide-key t-key" onClick={open}>
        Open the job
      </button>
    </>
  )
}

function possibleOf({ machine, state }: JobRecord): Record<string, string[]> {
  return Object.fromEntries(machine.conditions.map(({ id, values }, c) => [id, values.filter((_, v) => ((state.conditions[c]! >> v) & 1) === 1)]))
}

function Glance({ record }: { record: JobRecord }) {
  const { bundle } = record
  const steps = listed(record)
  const now = steps.findIndex(({ seal }) => seal === 'todo' || seal === 'broken')
  const phases = bundle.phases.map(({ id }) => steps.filter(({ step }) => step.phase === id).map(({ seal }) => seal))
  return (
    <>
      <Rule phases={phases.filter((phase) => phase.length > 0)} now={now < 0 ? null : now} width={420} />
      <Drive drive={bundle.drive} state={driveState(bundle.drive, possibleOf(record))} width={420} height={360} />
      <EyesFirst record={record} />
    </>
  )
}
