/** A wait: it begins with an entry, and counts from there. */
import { useEffect, useState } from 'preact/hooks'
import { HoldKey, MissingKey, PlainKey } from '../../../parts/keys'
import { clockWords, waited } from '../../../work/waiting'
import { ProofFrame } from './frame'
import { doneWords, type ProofProps } from './props'

const MINUTES = 'min'

function useNow(): number {
  const [now, setNow] = useState(Date.now)
  useEffect(() => {
    const tick = setInterval(() => setNow(Date.now()), 1_000)
    return () => clearInterval(tick)
  }, [])
  return now
}

const Goes = () => <p class="soft">The time counts on when the phone is locked or switched off.</p>

/** Older editions could name any unit: minutes that are called hours would be a false record. */
function NotCounted({ unit, ...props }: ProofProps & { unit: string }) {
  return (
    <ProofFrame of={props} side="not" main={<MissingKey label="It cannot be counted" note={unit} />}>
      <p>
        This procedure states a wait in {unit || 'no unit'}; the app counts minutes only. Nothing is recorded.
        Ask the owner for an edition that states minutes.
      </p>
    </ProofFrame>
  )
}

export function WaitScreen(props: ProofProps & { begunAt: string | null; begin: () => Promise<void> }) {
  const { proof, begunAt } = props
  const now = useNow()
  const low = proof.low ?? '0'
  const unit = proof.unit ?? ''
  if (unit !== MINUTES) return <NotCounted {...props} unit={unit} />
  if (begunAt === null) {
    return (
      <ProofFrame
        of={props}
        side="back"
        main={<PlainKey label="It begins now" note={`${low} ${unit}`} onPress={() => void props.begin()} />}
      >
        <p class="figure">
          {low} <small>{unit}</small>
        </p>
        <Goes />
      </ProofFrame>
    )
  }
  const { minutes, leftMs, over } = waited(begunAt, now, low)
  const main = over ? (
    <HoldKey
      label={`${minutes} ${unit} waited`}
      onHeld={() => props.keep({ kind: 'figure', value: String(minutes) })}
      done={doneWords(props)}
    />
  ) : (
    <MissingKey label={`${clockWords(leftMs)} to go`} note={`of ${low} ${unit}`} />
  )
  return (
    <ProofFrame of={props} side="not" main={main}>
      <p class="torque-figure" role="timer">
        {clockWords(leftMs)}
      </p>
      <Goes />
    </ProofFrame>
  )
}
