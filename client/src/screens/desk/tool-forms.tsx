/** The forms of a tool: register, correct what was registered. */
import type { ToolRow } from '../../work/statements'
import { Choose } from '../office/choose'
import { goTo } from '../office/nav'
import { becauseFault, checkTool, TOOL_TYPES, type ToolDraft } from './drafts'
import { DeskForm, Field } from './form'
import { useDraft, useLine } from './use-draft'
import type { Write } from './use-writing'
import * as says from '../../words/en/desk/tools'
import { t } from '../../words/message'

const NEW_TOOL: ToolDraft = {
  tool: '',
  type: TOOL_TYPES[0].type,
  label: '',
  low: '',
  high: '',
  unit: TOOL_TYPES[0].unit,
  accuracy: '',
}

/** What stands on the register of a tool, to be changed. */
const draftOf = ({ tool, type, label, accuracy, registered }: ToolRow): ToolDraft => ({
  tool,
  type,
  label,
  low: registered.low ?? '',
  high: registered.high ?? '',
  unit: registered.unit ?? '',
  accuracy: accuracy ?? '',
})

type Drafting = ReturnType<typeof useDraft<ToolDraft>>

function ToolFields({ draft, set, of }: Pick<Drafting, 'draft' | 'set' | 'of'>) {
  return (
    <>
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
      <Field label={t(says.accuracy)} hint={t(says.accuracyHint)} {...of('accuracy')} />
    </>
  )
}

/** @param back a retired tool that is registered again, under its number */
export function RegisterForm({
  write,
  known,
  back,
  leave,
}: {
  write: Write
  known: readonly string[]
  back?: ToolRow
  leave: () => void
}) {
  const name = `tool/${back?.tool ?? 'new'}`
  const drafting = useDraft<ToolDraft>(name, back ? draftOf(back) : NEW_TOOL, leave)
  const act = () => {
    const body = drafting.judged(checkTool(drafting.draft, known))
    if (!body) return null
    return write(async (w) => void (await w.entry('tool.registered', body))).then(() => {
      drafting.done()
      goTo('desk', 'tools', body.tool)
    })
  }
  return (
    <DeskForm title={t(says.registerATool)} submit={t(says.registerIt)} act={act} leave={leave}>
      {!back && <Field label={t(says.numberOnTheTool)} {...drafting.of('tool')} />}
      <ToolFields {...drafting} />
    </DeskForm>
  )
}

export function CorrectForm({ row, write, leave }: { row: ToolRow; write: Write; leave: () => void }) {
  const drafting = useDraft<ToolDraft>(`correct/${row.tool}`, draftOf(row))
  const why = useLine(`correct/${row.tool}/because`, becauseFault, leave)
  const act = () => {
    const [body, because] = [drafting.judged(checkTool(drafting.draft, [])), why.judged()]
    if (!body || because === null) return null
    const said = { ...body, tool: row.tool, because }
    return write(async (w) => void (await w.entry('tool.corrected', said))).then(() => {
      drafting.done()
      why.done()
    })
  }
  return (
    <DeskForm
      title={t(says.correctTool, { tool: row.tool })}
      submit={t(says.correctIt)}
      act={act}
      leave={leave}
    >
      <p class="d-text">{t(says.correctMeans)}</p>
      <ToolFields {...drafting} />
      <Field label={t(says.whyCorrected)} hint={t(says.noNames)} {...why.of} />
    </DeskForm>
  )
}
