/** The workshop's tools: whose check is due, what each can measure, where each was used. */
import type { FoundAnswer } from '../../ledger/answers'
import type { Held } from '../../store'
import { dayWords, isoDay } from '../../work/format'
import type { Rooms } from '../rooms'
import { useList } from '../office/from-server'
import { checkCheck, checkTool, TOOL_TYPES, typeName, type CheckDraft, type ToolDraft } from './drafts'
import { JobTable } from '../office/find'
import { Choose, DeskForm, Field, FormKey } from './form'
import { goTo } from '../office/nav'
import { useStatements } from '../office/from-store'
import { Checks } from '../office/checks'
import { capital } from '../../work/letters'
import { PageHead, TroubleLine } from '../office/shell'
import { dueSoon, dueWords, rowOfTool, toolsOf, type ToolRow } from '../../work/statements'
import { useDraft } from './use-draft'
import { useWriting, type Write } from './use-writing'
import * as says from '../../words/en/desk/tools'
import { t } from '../../words/message'

export function Tools({ item, ...rooms }: Rooms & { item: string | null }) {
  const statements = useStatements(rooms)
  if (statements === null) return <p role="status">{t(says.readingTheTools)}</p>
  const rows = toolsOf(statements, isoDay(new Date()))
  const shown = item === null ? null : rowOfTool(rows, item)
  return shown ? <OneTool key={shown.tool} {...rooms} row={shown} /> : <AllTools {...rooms} rows={rows} />
}

function AllTools({ rows, ...rooms }: Rooms & { rows: readonly ToolRow[] }) {
  const { write } = useWriting(rooms, null)
  const soon = dueSoon(rows)
  return (
    <>
      <PageHead>{t(says.toolsToBeChecked, { n: soon.length })}</PageHead>
      <ul class="found">
        {rows.map((row) => (
          <li key={row.tool}>
            <a class="found-row" href={`#/desk/tools/${encodeURIComponent(row.tool)}`}>
              <strong>{row.tool}</strong>
              <span>
                {row.label.includes(typeName(row.type)) ? row.label : `${row.label}, ${typeName(row.type)}`}
              </span>
              <span>{row.range}</span>
              <span class={soon.includes(row) ? 'act-words' : ''}>
                {row.due !== null && row.left! > 0 ? `${dueWords(row)}, ${dayWords(row.due)}` : dueWords(row)}
              </span>
            </a>
          </li>
        ))}
      </ul>
      {rooms.store.writer.value && (
        <FormKey label={t(says.registerATool)}>
          {(leave) => <RegisterForm write={write} known={rows.map(({ tool }) => tool)} leave={leave} />}
        </FormKey>
      )}
    </>
  )
}

function RegisterForm({
  write,
  known,
  leave,
}: {
  write: Write
  known: readonly string[]
  leave: () => void
}) {
  const { draft, set, of, judged } = useDraft<ToolDraft>({
    tool: '',
    type: TOOL_TYPES[0].type,
    label: '',
    low: '',
    high: '',
    unit: TOOL_TYPES[0].unit,
  })
  const act = () => {
    const body = judged(checkTool(draft, known))
    if (!body) return null
    return write(async (w) => void (await w.entry('tool.registered', body))).then(() =>
      goTo('desk', 'tools', body.tool),
    )
  }
  return (
    <DeskForm title={t(says.registerATool)} submit={t(says.registerIt)} act={act} leave={leave}>
      <Field label={t(says.numberOnTheTool)} {...of('tool')} />
      <Choose
        label={t(says.whatItIs)}
        value={draft.type}
        onValue={(type) =>
          set({ type, unit: TOOL_TYPES.find((each) => each.type === type)?.unit ?? draft.unit })
        }
        options={TOOL_TYPES.map(({ type, name }) => ({ value: type, words: name }))}
      />
      <Field label={t(says.whatPeopleCallIt)} {...of('label')} />
      <div class="field-row">
        <Field label={t(says.rangeFrom)} inputMode="decimal" {...of('low')} />
        <Field label={t(says.to)} inputMode="decimal" {...of('high')} />
        <Field label={t(says.inIt)} {...of('unit')} />
      </div>
    </DeskForm>
  )
}

function OneTool({ row, ...rooms }: Rooms & { row: ToolRow }) {
  const { write } = useWriting(rooms, null)
  const { answer, older } = useList<FoundAnswer>(rooms, '/api/find', { tool: row.tool })
  return (
    <>
      <PageHead>
        {row.tool}, {row.label}
      </PageHead>
      <p class={dueSoon([row]).length > 0 ? 'act-words' : 'd-text'}>{capital(dueWords(row))}.</p>
      <dl class="facts-list">
        <dt>{t(says.whatItIs)}</dt>
        <dd>{typeName(row.type)}</dd>
        <dt>{t(says.range)}</dt>
        <dd>{row.range || t(says.noneStated)}</dd>
      </dl>
      <h2 class="phase-head">{t(says.checks)}</h2>
      <Checks checks={row.checks} />
      {rooms.store.writer.value && (
        <FormKey label={t(says.enterACheck)} isMain>
          {(leave) => <CheckForm row={row} write={write} leave={leave} />}
        </FormKey>
      )}
      <h2 class="phase-head">{t(says.jobsMeasured)}</h2>
      <TroubleLine trouble={answer && !answer.ok ? answer.trouble : null} />
      {answer?.ok && answer.value.jobs.length === 0 && <p class="d-text">{t(says.noneYet)}</p>}
      {answer?.ok && (
        <JobTable rows={answer.value.jobs} open={(job) => goTo('desk', 'jobs', job)} older={older} />
      )}
    </>
  )
}

const yearLater = (on: string): string =>
  /^\d{4}-/.test(on) ? `${Number(on.slice(0, 4)) + 1}${on.slice(4)}`.replace('-02-29', '-02-28') : ''

/** A year is common practice for workshop tools; ISO 6789 asks for 12 months or 5,000 cycles. The certificate's own date wins. */
function CheckForm({ row, write, leave }: { row: ToolRow; write: Write; leave: () => void }) {
  const { draft, set, of, judged } = useDraft<CheckDraft>({ on: '', due: '', certificate: '' })
  const act = () => {
    const body = judged(checkCheck(draft, row.tool, isoDay(new Date())))
    return body && write(async (w) => void (await w.entry('tool.calibrated', body))).then(leave)
  }
  return (
    <DeskForm
      title={t(says.checkOf, { tool: row.tool })}
      submit={t(says.enterTheCheck)}
      act={act}
      leave={leave}
    >
      <Field
        label={t(says.checkedOn)}
        type="date"
        {...of('on')}
        onValue={(on) => set({ on, due: draft.due || yearLater(on) })}
      />
      <Field label={t(says.nextDue)} type="date" {...of('due')} />
      <Field label={t(says.certificate)} hint={t(says.certificateHint)} {...of('certificate')} />
    </DeskForm>
  )
}

/** For the first page: tools that should go to their check, in one sentence each. */
export function dueLines(statements: readonly Held[]): { tool: string; words: string }[] {
  return dueSoon(toolsOf(statements, isoDay(new Date()))).map((row) => ({
    tool: row.tool,
    words: `${row.tool}: ${dueWords(row)}`,
  }))
}
