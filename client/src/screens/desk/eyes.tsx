/** What needs eyes first: blades in the order of risk, and the job under the chosen one at the side. */
import type { DeskRow, FindingRow, NoticeRow } from '../../ledger/answers'
import { Drive, driveState } from '../../parts/drive'
import { Rule } from '../../parts/rule'
import type { Answer } from '../../sync'
import { Damage } from '../record/damage'
import { verdictOf } from '../../work/eyes'
import { useRecord } from '../record/fetched'
import { Figure } from '../record/figures'
import { listed, type JobRecord } from '../../work/record'
import { sentencesOf } from '../../work/sentences'
import type { Rooms } from '../rooms'
import { BLADES, nameOf, sharpened, type Line } from '../../work/eyes-order'
import { FirstRun } from './first-run'
import { Older } from '../office/job-lines'
import { goTo } from '../office/nav'
import { PageHead, TroubleLine } from '../office/shell'
import * as says from '../../words/en/desk/eyes'
import { t } from '../../words/message'

/** Lines whose job is fetched for its headline's words; those further down say what is here already. */
const NEAR = 6

/** The one thing of a job that comes first, in a headline's words, from the log that is here. */
const firstOf = (record: JobRecord | null): string | null =>
  record ? (sentencesOf(record)[0]?.short ?? null) : null

function LineRow({
  line,
  isNear,
  chosen,
  choose,
  ...rooms
}: Rooms & { line: Line; isNear: boolean; chosen: boolean; choose: () => void }) {
  const reading = useRecord(rooms, line.rows[0].job, isNear)
  const record = reading.at === 'here' ? reading.record : null
  const blade = BLADES[line.blade]!
  return (
    <li>
      <button type="button" class="blade-row" aria-pressed={chosen} onClick={choose}>
        <span class="blade" style={{ height: `${blade.thick}px` }} aria-hidden="true" />
        <strong
          style={{
            fontSize: `clamp(1.06rem, ${(blade.size / 12.8).toFixed(2)}vw + 0.4rem, ${(blade.size / 19).toFixed(2)}rem)`,
          }}
        >
          {sharpened(line, firstOf(record))}
        </strong>
        <span class="d-text">{line.says}</span>
      </button>
    </li>
  )
}

interface EyesProps {
  /** What is damaged on the workshop's disk. */ findings: readonly FindingRow[]
  answer: Answer<{ jobs: DeskRow[] }> | null /** What is ordered erased: told before it is gone. */
  erasures: readonly string[]
  lines: Line[]
  whole: DeskRow[]
  older: (() => void) | null
  chosen: string | null
  choose: (key: string) => void /** Tools that should go to their check. */
  due: { tool: string; words: string }[] /** Permits that are over or soon are. */
  lapsing: readonly string[] /** What revoked devices sent and nobody has ruled on, in words. */
  held: string | null /** Findings of an auditor that wait for an answer, in words. */
  audits: string | null
}

/** What asks for eyes and is no job, where that is read. */
const Thinnest = ({ href, children }: { href: string; children: string }) => (
  <a class="blade-row" href={href}>
    <span class="blade" style={{ height: `${BLADES.at(-1)!.thick}px` }} aria-hidden="true" />
    <strong>{children}</strong>
  </a>
)

export function Eyes({
  findings,
  answer,
  erasures,
  held,
  audits,
  lines,
  whole,
  older,
  chosen,
  choose,
  due,
  lapsing,
  ...rooms
}: Rooms & EyesProps) {
  const told = lines.length + due.length + lapsing.length + erasures.length + findings.length
  const hasNone = answer?.ok && told === 0 && held === null && audits === null
  return (
    <>
      <PageHead>{hasNone ? t(says.nothingAsksForEyes) : t(says.eyesFirst)}</PageHead>
      <TroubleLine trouble={answer && !answer.ok ? answer.trouble : null} />
      {answer === null && (
        <p class="d-text" role="status">
          {t(says.asking)}
        </p>
      )}
      <Damage {...rooms} findings={findings} />
      <ul class="blades">
        {erasures.map((words, n) => (
          <li key={n}>
            <a class="blade-row" href="#/desk/erasing">
              <span class="blade" style={{ height: `${BLADES[0].thick}px` }} aria-hidden="true" />
              <strong style={{ fontSize: '1.5rem' }}>{words}</strong>
            </a>
          </li>
        ))}
        {lines.map((line) => (
          <LineRow
            {...rooms}
            key={line.key}
            line={line}
            isNear={lines.indexOf(line) < NEAR}
            chosen={line.key === chosen}
            choose={() => choose(line.key)}
          />
        ))}
        {audits !== null && (
          <li>
            <Thinnest href="#/desk/audits">{audits}</Thinnest>
          </li>
        )}
        {held !== null && (
          <li>
            <Thinnest href="#/desk/held">{held}</Thinnest>
          </li>
        )}
        {lapsing.map((words) => (
          <li key={words}>
            <Thinnest href="#/desk/people">{words}</Thinnest>
          </li>
        ))}
        {due.map(({ tool, words }) => (
          <li key={tool}>
            <Thinnest href={`#/desk/tools/${encodeURIComponent(tool)}`}>{words}</Thinnest>
          </li>
        ))}
      </ul>
      <Older older={older} label={t(says.moreJobs)} />
      {answer?.ok && older === null && <p class="d-text whole-line">{wholeWords(whole)}</p>}
      <FirstRun {...rooms} />
    </>
  )
}

function wholeWords(whole: readonly DeskRow[]): string {
  const open = whole.filter(({ state }) => state === 'open').length
  const approved = whole.length - open
  const words = [
    open > 0 ? t(says.nothingToAsk, { open }) : '',
    approved > 0 ? t(says.approved, { approved }) : '',
  ].filter(Boolean)
  return words.length > 0 ? t(says.besides, { words: words.join(', ') }) : ''
}

export function Beside({
  job,
  row,
  open,
  ...rooms
}: Rooms & { job: string; row: DeskRow | undefined; open: () => void }) {
  const reading = useRecord(rooms, job)
  return (
    <>
      <h2 class="d-head">{row ? nameOf(row) : t(says.job)}</h2>
      {reading.at === 'here' && <Glance record={reading.record} />}
      {reading.at === 'missing' && <TroubleLine trouble={reading.trouble} />}
      <button type="button" class="desk-key t-key" onClick={open}>
        {t(says.openTheJob)}
      </button>
    </>
  )
}

/** What the workshop has stated, and the jobs it speaks against. */
export function BesideNotice({ line, notice: { of } }: { line: Line; notice: NoticeRow }) {
  return (
    <>
      <h2 class="d-head">{line.head}</h2>
      <ul class="plain-list">
        {line.rows.map((row) => (
          <li key={row.job}>
            <a class="beside-job" href={`#/desk/jobs/${encodeURIComponent(row.job)}`}>
              <b>{nameOf(row)}</b> {row.state === 'open' ? t(says.isStillHere) : t(says.hasLeft)}
            </a>
          </li>
        ))}
      </ul>
      {of !== null && (
        <button type="button" class="desk-key t-key" onClick={() => goTo('desk', 'follow', of)}>
          {t(says.followItUp)}
        </button>
      )}
    </>
  )
}

function possibleOf({ machine, state }: JobRecord): Record<string, string[]> {
  return Object.fromEntries(
    machine.conditions.map(({ id, values }, c) => [
      id,
      values.filter((_, v) => ((state.conditions[c]! >> v) & 1) === 1),
    ]),
  )
}

/** The rule, the first finding in words and figures, and where on the engine it is. */
function Glance({ record }: { record: JobRecord }) {
  const { bundle } = record
  const steps = listed(record)
  const now = steps.findIndex(({ seal }) => seal === 'todo' || seal === 'broken')
  const phases = bundle.phases.map(({ id }) =>
    steps.filter(({ step }) => step.phase === id).map(({ seal }) => seal),
  )
  const [first] = sentencesOf(record)
  const at = first?.step == null ? undefined : record.steps[first.step]
  const out = at?.readings.filter((reading) => verdictOf(reading) === 'outside').at(-1)
  const look = at?.step.look.filter((name) => bundle.drive.wheels.some(({ id }) => id === name)) ?? []
  return (
    <>
      <Rule phases={phases.filter((phase) => phase.length > 0)} now={now < 0 ? null : now} width={420} />
      {first && (
        <p class="d-text">
          <b>{first.fact}.</b> {out ? '' : first.because}
        </p>
      )}
      <Drive
        drive={bundle.drive}
        state={driveState(bundle.drive, possibleOf(record))}
        look={look}
        width={420}
        height={out ? 250 : 320}
      />
      {out && <Figure reading={out} />}
    </>
  )
}
