/** The short proofs: a count, a wait, a choice, a lot, a signature. */
import { useEffect, useState } from 'preact/hooks'
import { Choice } from '../../../parts/choice'
import { HoldKey, MissingKey, PlainKey, SideKey } from '../../../parts/keys'
import { EntryLine, LetterPad } from '../../../parts/pad'
import { SignaturePad } from '../../../parts/signature'
import { Frame } from '../frame'
import { clockWords, waited } from '../waiting'
import { doneWords, type ProofProps } from './kinds'

const Back = ({ back }: ProofProps) => <SideKey icon="back" label="back" onPress={back} />
const NotSo = (props: ProofProps) => (props.fail ? <SideKey icon="not" label="it is not like that" onPress={props.fail} /> : <Back {...props} />)

/** Above this many a count is typed: nobody presses a key a hundred times. */
export const MOST_PRESSED = 20

export function CountScreen(props: ProofProps) {
  const { proof } = props
  const [count, setCount] = useState(0)
  const target = Number(proof.target)
  const unit = proof.unit ?? ''
  return (
    <Frame
      head={props.head}
      title={proof.label}
      trouble={props.trouble}
      deck={
        <>
          <NotSo {...props} />
          {count === target ? (
            <HoldKey label={`${count} ${unit}`} onHeld={() => props.keep({ kind: 'figure', value: String(count) })} done={doneWords(props)} />
          ) : (
            <MissingKey label={`${count} of ${target}`} note={count < target ? `${target - count} to go` : 'too many'} />
          )}
        </>
      }
    >
      <div class="count" role="group" aria-label={proof.label}>
        <button type="button" aria-label="one less" onClick={() => setCount(Math.max(0, count - 1))}>
          −
        </button>
        <p class="figure" aria-live="polite">
          {count} <small>of {target}</small>
        </p>
        <button type="button" aria-label="one more" onClick={() => setCount(count + 1)}>
          +
        </button>
      </div>
      {proof.hint !== undefined && <p>{proof.hint}</p>}
    </Frame>
  )
}

export function WaitScreen(props: ProofProps & { begunAt: string | null; begin: () => Promise<void> }) {
  const { proof, begunAt } = props
  const [now, setNow] = useState(Date.now)
  useEffect(() => {
    const tick = setInterval(() => setNow(Date.now()), 1_000)
    return () => clearInterval(tick)
  }, [])
  const low = proof.low ?? '0'
  const unit = proof.unit ?? ''
  if (begunAt === null) {
    return (
      <Frame
        head={props.head}
        title={proof.label}
        trouble={props.trouble}
        deck={
          <>
            <Back {...props} />
            <PlainKey label="It begins now" note={`${low} ${unit}`} onPress={() => void props.begin()} />
          </>
        }
      >
        <p class="figure">
          {low} <small>{unit}</small>
        </p>
        {proof.hint !== undefined && <p>{proof.hint}</p>}
        <p class="soft">The time counts on when the phone is locked or switched off.</p>
      </Frame>
    )
  }
  const { minutes, leftMs, over } = waited(begunAt, now, low)
  return (
    <Frame
      head={props.head}
      title={proof.label}
      trouble={props.trouble}
      deck={
        <>
          <NotSo {...props} />
          {over ? (
            <HoldKey label={`${minutes} ${unit} waited`} onHeld={() => props.keep({ kind: 'figure', value: String(minutes) })} done={doneWords(props)} />
          ) : (
            <MissingKey label={`${clockWords(leftMs)} to go`} note={`of ${low} ${unit}`} />
          )}
        </>
      }
    >
      <p class="torque-figure" role="timer">
        {clockWords(leftMs)}
      </p>
      {proof.hint !== undefined && <p>{proof.hint}</p>}
      <p class="soft">The time counts on when the phone is locked or switched off.</p>
    </Frame>
  )
}

export function ChoiceScreen(props: ProofProps) {
  const { proof } = props
  const [chosen, setChosen] = useState<string | null>(null)
  const option = proof.options?.find(({ id }) => id === chosen)
  return (
    <Frame
      head={props.head}
      title={proof.label}
      trouble={props.trouble}
      deck={
        <>
          <NotSo {...props} />
          {!option && <MissingKey label="Choose above" />}
          {option?.ok === true && <HoldKey label={option.says} onHeld={() => props.keep({ kind: 'figure', value: option.id })} done={doneWords(props)} />}
          {option?.ok === false && <MissingKey label="Not with this" note="it is not like that" />}
        </>
      }
    >
      <Choice label={proof.label} rows={proof.options ?? []} chosen={chosen} onChoose={setChosen} />
      {option?.ok === false && <p class="stop-words">The step cannot be painted while this is so.</p>}
      {proof.hint !== undefined && <p>{proof.hint}</p>}
    </Frame>
  )
}

export function LotScreen(props: ProofProps & { recalled: (lot: string) => string | null }) {
  const { proof } = props
  const [typed, setTyped] = useState('')
  const lot = typed.trim().toUpperCase()
  const recalled = lot === '' ? null : props.recalled(lot)
  return (
    <Frame
      title={proof.label}
      trouble={recalled === null ? props.trouble : { code: 'recalled', message: `Lot ${lot} is recalled.`, hint: `${recalled} Take another part.` }}
      deck={
        <>
          <Back {...props} />
          {lot === '' || recalled !== null ? (
            <MissingKey label={recalled === null ? 'No lot yet' : 'Not this lot'} />
          ) : (
            <HoldKey label={lot} onHeld={() => props.keep({ kind: 'lot', lot })} done={doneWords(props)} />
          )}
        </>
      }
    >
      <div>
        <EntryLine id="lot" label={proof.hint ?? 'Lot on the label'} value={typed} onValue={(text) => setTyped(text.toUpperCase().slice(0, 64))} long />
      </div>
      <LetterPad value={typed} onValue={setTyped} />
    </Frame>
  )
}

export function SignatureScreen(props: ProofProps) {
  const { proof } = props
  const [path, setPath] = useState('')
  return (
    <Frame
      head={props.head}
      title={proof.label}
      trouble={props.trouble}
      deck={
        <>
          {path === '' ? <Back {...props} /> : <SideKey icon="again" label="again" onPress={() => setPath('')} />}
          {path === '' ? <MissingKey label="Sign above" /> : <HoldKey label="This is signed" onHeld={() => props.keep({ kind: 'drawn', path })} done={doneWords(props)} />}
        </>
      }
    >
      <SignaturePad label={proof.label} path={path} onPath={setPath} />
      {proof.hint !== undefined && <p>{proof.hint}</p>}
      <p class="soft">The drawing is a private value: it can be erased later, the record of it stays.</p>
    </Frame>
  )
}
