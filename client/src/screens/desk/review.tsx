/** One job on the owner's desk: what needs eyes, the belt, every step; ask, accept a gap, approve. */
import { useState } from 'preact/hooks'
import { HoldKey } from '../../parts/keys'
import { NotKept, type Trouble } from '../../store'
import type { Rooms } from '../rooms'
import { useRecord } from '../record/fetched'
import { Belt, EyesFirst, VehicleFacts } from '../record/head'
import type { JobRecord, StepRecord } from '../record/record'
import { Steps } from '../record/steps'
import { PageHead, TroubleLine } from './shell'

export function Review({ job, ...rooms }: Rooms & { job: string }) {
  const reading = useRecord(rooms, job)
  if (reading.at === 'reading') return <p role="status">Reading the job.</p>
  if (reading.at === 'missing') {
    return (
      <>
        <PageHead>The job is not here yet</PageHead>
        <TroubleLine trouble={reading.trouble} />
      </>
    )
  }
  return <ReviewOf {...rooms} record={reading.record} />
}

function ReviewOf({ record, ...rooms }: Rooms & { record: JobRecord }) {
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const act: Act = async (build) => {
    setTrouble(null)
    try {
      await rooms.store.write(record.row.job, build)
    } catch (error) {
      if (!(error instanceof NotKept)) throw error
      setTrouble(error.trouble)
      throw error
    }
  }
  return (
    <>
      <div class="review-top">
        <div>
          <PageHead>{record.bundle.vehicle}</PageHead>
          <VehicleFacts {...rooms} record={record} />
          <h2 class="phase-head">Eyes first</h2>
          <EyesFirst record={record} />
          <TroubleLine trouble={trouble} />
          <Approval {...rooms} record={record} act={act} />
        </div>
        <Belt record={record} />
      </div>
      <Steps {...rooms} record={record} acts={(step) => <StepActs record={record} step={step} act={act} canWrite={rooms.store.writer.value} />} />
    </>
  )
}

type Act = (build: Parameters<Rooms['store']['write']>[1]) => Promise<void>

/** What still stands between this job and its approval, in words. */
export function missingForApproval({ state, closed, steps }: JobRecord): string[] {
  const missing: string[] = []
  if (!closed) missing.push('The job is not closed.')
  if (state.questions.length > 0) missing.push(`${state.questions.length === 1 ? 'A question has' : `${state.questions.length} questions have`} no answer yet.`)
  const todo = closed && closed.body.end === 'finished' ? steps.filter(({ step, seal }) => step.must && (seal === 'todo' || seal === 'broken')) : []
  if (todo.length > 0) missing.push(`To do: ${todo.map(({ step }) => step.number).join(', ')}.`)
  return missing
}

function Approval({ record, act, store }: Rooms & { record: JobRecord; act: Act }) {
  const missing = missingForApproval(record)
  if (record.state.approved === 'approved') return <p class="d-text">Approved. Later entries would show here as changed.</p>
  if (missing.length > 0) return <p class="d-text">{missing.join(' ')} Approval opens when this is settled.</p>
  if (!store.writer.value) return <p class="d-text">Go on in the other window; this one only shows.</p>
  return (
    <div class="approve">
      {record.state.approved === 'changed' && <p class="d-text">Approved, then changed: look again before approving again.</p>}
      <HoldKey label="Approve this job" note="hold to paint" done="approved" onHeld={() => act(async (w) => void (await w.entry('review.approved', {})))} />
    </div>
  )
}

function StepActs({ record, step, act, canWrite }: { record: JobRecord; step: StepRecord; act: Act; canWrite: boolean }) {
  const [open, setOpen] = useState<'ask' | 'gap' | null>(null)
  if (!canWrite) return null
  const number = step.step.number || step.step.title
  if (open) {
    const send = async (text: string) => {
      await act(async (w) => {
        const words = await w.secret('words', text)
        if (open === 'ask') await w.entry('review.returned', { step: step.step.id, question: words })
        else await w.entry('review.gap', { step: step.step.id, because: words })
      })
      setOpen(null)
    }
    return <Ask label={open === 'ask' ? `Question about ${number}` : `Why the gap in ${number} is accepted`} send={send} leave={() => setOpen(null)} submit={open === 'ask' ? 'Send the question' : 'Accept the gap'} />
  }
  const isGap = step.step.must && (step.seal === 'todo' || step.seal === 'broken') && record.closed !== null
  return (
    <p class="step-acts">
      <button type="button" class="text-key" onClick={() => setOpen('ask')}>
        Ask about this step<span class="unseen">, {number}</span>
      </button>
      {isGap && (
        <button type="button" class="text-key" onClick={() => setOpen('gap')}>
          Accept the gap<span class="unseen"> in {number}</span>
        </button>
      )}
    </p>
  )
}

function Ask({ label, submit, send, leave }: { label: string; submit: string; send: (text: string) => Promise<void>; leave: () => void }) {
  const [text, setText] = useState('')
  const words = text.normalize('NFC').trim()
  return (
    <form
      class="ask"
      onSubmit={(event) => {
        event.preventDefault()
        if (words) void send(words).catch(() => undefined) // the words stay in the field, the reason stands above
      }}
    >
      <label>
        {label}
        <textarea rows={3} maxLength={1900} value={text} onInput={(event) => setText(event.currentTarget.value)} />
      </label>
      <p class="step-acts">
        <button type="submit" class="text-key text-key-main" disabled={words === ''}>
          {submit}
        </button>
        <button type="button" class="text-key" onClick={leave}>
          Leave it
        </button>
      </p>
    </form>
  )
}

