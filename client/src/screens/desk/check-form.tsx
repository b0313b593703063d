/** A check of a tool: how it was found, before anybody adjusted it, and until when it is good. */
import { useState } from 'preact/hooks'
import { dayWords, isoDay } from '../../work/format'
import type { ToolRow } from '../../work/statements'
import { checkOf, isGoodCheck, offWords } from '../../work/tool-checks'
import { capital } from '../../work/letters'
import { Choose } from '../office/choose'
import { checkFound, foundSoFar, SLOTS, startOf, type FoundDraft } from './check-draft'
import { unitOf } from './drafts'
import { documentOf, FileField, fileFault } from './file-field'
import { DeskForm, Field } from './form'
import { useDraft } from './use-draft'
import type { Write } from './use-writing'
import { TextKey } from '../text-key'
import * as says from '../../words/en/desk/check-form'
import { t } from '../../words/message'

const yearLater = (on: string): string =>
  /^\d{4}-/.test(on) ? `${Number(on.slice(0, 4)) + 1}${on.slice(4)}`.replace('-02-29', '-02-28') : ''

interface CheckFormProps {
  row: ToolRow
  write: Write
  leave: () => void
}

/** A year is common practice for workshop tools; ISO 6789 asks for 12 months or 5,000 cycles. The certificate's own date wins. */
export function CheckForm({ row, write, leave }: CheckFormProps) {
  const shows = row.type !== 'torque_wrench'
  const { draft, set, of, judged, done } = useDraft<FoundDraft>(
    `check/${row.tool}`,
    startOf(row.registered.high, shows),
    leave,
  )
  const [file, setFile] = useState<File | null>(null)
  const fault = fileFault(file)
  const tool = { tool: row.tool, unit: row.registered.unit ?? unitOf(row.type), shows }
  const found = foundSoFar(draft, tool)
  const isOut = found !== null && !isGoodCheck(found)
  const act = () => {
    const bodies = judged(checkFound(draft, tool, isoDay(new Date())))
    if (!bodies || fault !== undefined) return null
    return write(async (w) => {
      // As found first: of one day the last one stated counts, and how it was left comes after.
      if (bodies.found) await w.entry('tool.checked', bodies.found)
      const kept = file && bodies.left ? { document: await documentOf(w, file) } : {}
      if (bodies.left) await w.entry('tool.calibrated', { ...bodies.left, ...kept })
    }).then(done)
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
      {row.on !== null && draft.on !== '' && draft.on < row.on && (
        <p class="d-text">{t(says.beforeTheLast, { on: dayWords(row.on) })}</p>
      )}
      <AsFound draft={draft} set={set} of={of} unit={tool.unit} shows={shows} />
      <div role="status">
        {found !== null && (
          <p class={isOut ? 'act-words' : 'd-text'}>
            {t(isOut ? says.isOut : says.isWithin, { off: capital(offWords(checkOf('', found))) })}
          </p>
        )}
      </div>
      {isOut && <Field label={t(says.until)} hint={t(says.untilHint)} type="date" {...of('until')} />}
      <Field
        label={t(says.nextDue)}
        {...(isOut ? { hint: t(says.nextDueHint) } : {})}
        type="date"
        {...of('due')}
      />
      <Field label={t(says.certificate)} hint={t(says.certificateHint)} {...of('certificate')} />
      {(!isOut || draft.due !== '') && (
        <FileField
          label={t(says.certificateFile)}
          hint={t(says.certificateFileHint)}
          file={file}
          fault={fault}
          onFile={setFile}
        />
      )}
    </DeskForm>
  )
}

type Draft = ReturnType<typeof useDraft<FoundDraft>>

interface AsFoundProps extends Pick<Draft, 'draft' | 'set' | 'of'> {
  unit: string
  /** It is read, and not set. */
  shows: boolean
}

/** What it was set to and what it delivered, or what was there and what it showed, point by point; none, where nobody measured it. */
function AsFound({ draft, set, of, unit, shows }: AsFoundProps) {
  const [rows, setRows] = useState(3)
  const keys = shows ? 'text' : 'decimal' // a keyboard of figures has no minus on some phones
  return (
    <fieldset class="as-found">
      <legend>{t(says.asFound)}</legend>
      <p class="d-small">{t(shows ? says.asShownHint : says.asFoundHint)}</p>
      {SLOTS.slice(0, rows).map((n) => (
        <div class="field-row" key={n}>
          <Field
            label={t(shows ? says.reference : says.setTo, { unit })}
            inputMode={keys}
            {...of(`nominal${n}`)}
          />
          <Field
            label={t(shows ? says.shown : says.delivered, { unit })}
            inputMode={keys}
            {...of(`found${n}`)}
          />
          {!shows && (
            <Choose
              label={t(says.direction)}
              value={draft[`direction${n}`]}
              onValue={(direction) => set({ [`direction${n}`]: direction })}
              options={[
                { value: 'clockwise', words: t(says.clockwise) },
                { value: 'anticlockwise', words: t(says.anticlockwise) },
              ]}
            />
          )}
        </div>
      ))}
      {rows < SLOTS.length && <TextKey says={t(says.onePointMore)} onPress={() => setRows(rows + 1)} />}
      <Field
        label={shows ? t(says.allowedShown, { unit }) : t(says.allowed)}
        hint={t(shows ? says.allowedShownHint : says.allowedHint)}
        inputMode="decimal"
        {...of('allowed')}
      />
    </fieldset>
  )
}
