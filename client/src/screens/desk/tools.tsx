/** The workshop's tools: whose check is due, what each can measure, where each was used. */
import type { JobsAnswer } from '../../ledger/answers'
import type { Held } from '../../store'
import { dayWords, isoDay } from '../../work/format'
import type { Rooms } from '../rooms'
import { useList } from '../office/from-server'
import { typeName } from './drafts'
import { BecauseForm, stating } from './because'
import { FormKey } from '../office/form-key'
import { JobLines } from '../office/job-lines'
import { goTo } from '../office/nav'
import { useStatements } from '../office/from-store'
import { Checks } from '../office/checks'
import { capital } from '../../work/letters'
import { PageHead, TroubleLine } from '../office/shell'
import { dueSoon, dueWords, rowOfTool, toolsOf, type ToolRow } from '../../work/statements'
import { CheckForm } from './check-form'
import { CorrectForm, RegisterForm } from './tool-forms'
import { useWriting } from './use-writing'
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
      <PageHead>
        {rows.length === 0 ? t(says.noTools) : t(says.toolsToBeChecked, { n: soon.length })}
      </PageHead>
      {rows.length === 0 && <p class="d-text">{t(says.noToolsMeans)}</p>}
      <ul class="found">
        {rows.map((row) => (
          <li key={row.tool}>
            <a class="found-row" href={`#/desk/tools/${encodeURIComponent(row.tool)}`}>
              <strong>{row.tool}</strong>
              <span>
                {row.label.includes(typeName(row.type)) ? row.label : `${row.label}, ${typeName(row.type)}`}
              </span>
              <span>{row.range}</span>
              <span class={soon.includes(row) ? 'act-words' : ''}>{standsWords(row)}</span>
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

/** How a tool stands: when its check is due, or that it is out of use. */
function standsWords(row: ToolRow): string {
  if (row.retired !== null) return t(says.retired, { because: row.retired })
  const isComing = row.distrusted === null && row.due !== null && row.left! > 0
  return isComing ? `${dueWords(row)}, ${dayWords(row.due!)}` : dueWords(row)
}

function OneTool({ row, ...rooms }: Rooms & { row: ToolRow }) {
  const { write } = useWriting(rooms, null)
  const { answer, older } = useList<JobsAnswer>(rooms, '/api/find', { tool: row.tool })
  return (
    <>
      <PageHead>
        {row.tool}, {row.label}
      </PageHead>
      <p class={row.retired !== null || dueSoon([row]).length > 0 ? 'act-words' : 'd-text'}>
        {row.retired === null
          ? t(says.stands, { stands: capital(dueWords(row)) })
          : t(says.isRetired, { because: row.retired })}
      </p>
      <dl class="facts-list">
        <dt>{t(says.whatItIs)}</dt>
        <dd>{typeName(row.type)}</dd>
        <dt>{t(says.range)}</dt>
        <dd>{row.range || t(says.noneStated)}</dd>
        <dt>{t(says.accuracy)}</dt>
        <dd>{row.accuracy ?? t(says.noneStated)}</dd>
      </dl>
      <h2 class="phase-head">{t(says.checks)}</h2>
      <Checks
        {...rooms}
        checks={row.checks}
        found={row.found}
        beside={({ entry }) => <a href={`#/desk/follow/${entry}`}>{t(says.whatItTightened)}</a>}
      />
      {rooms.store.writer.value && (
        <div class="keys-row">
          {row.retired === null && (
            <>
              <FormKey label={t(says.enterACheck)} stands="foremost">
                {(leave) => <CheckForm row={row} write={write} leave={leave} />}
              </FormKey>
              <FormKey label={t(says.correctIt)}>
                {(leave) => <CorrectForm row={row} write={write} leave={leave} />}
              </FormKey>
              <FormKey label={t(says.retireIt)}>
                {(leave) => <RetireForm {...rooms} tool={row.tool} leave={leave} />}
              </FormKey>
            </>
          )}
          {row.retired !== null && (
            <FormKey label={t(says.bringItBack)}>
              {(leave) => <RegisterForm write={write} known={[]} back={row} leave={leave} />}
            </FormKey>
          )}
        </div>
      )}
      <h2 class="phase-head">{t(says.jobsMeasured)}</h2>
      <TroubleLine trouble={answer && !answer.ok ? answer.trouble : null} />
      {answer?.ok && answer.value.jobs.length === 0 && <p class="d-text">{t(says.noneYet)}</p>}
      {answer?.ok && (
        <JobLines
          {...rooms}
          rows={answer.value.jobs}
          open={(job) => goTo('desk', 'jobs', job)}
          older={older}
        />
      )}
    </>
  )
}

function RetireForm({ tool, leave, ...rooms }: Rooms & { tool: string; leave: () => void }) {
  return (
    <BecauseForm
      {...rooms}
      title={t(says.retireTool, { tool })}
      submit={t(says.retireIt)}
      means={t(says.retireMeans)}
      hint={t(says.retireWhyHint)}
      state={stating('tool.retired', { tool })}
      leave={leave}
    />
  )
}

/** For the first page: tools that should go to their check, in one sentence each. */
export function dueLines(statements: readonly Held[]): { tool: string; words: string }[] {
  return dueSoon(toolsOf(statements, isoDay(new Date()))).map((row) => ({
    tool: row.tool,
    words: `${row.tool}: ${dueWords(row)}`,
  }))
}
