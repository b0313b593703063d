/** A wait: it begins with an entry, and counts from there. */
import { useEffect, useState } from 'preact/hooks'
import { KeepKey, MissingKey } from '../../../parts/keys'
import { clockWords, waited } from '../../../work/waiting'
import { ProofFrame } from './frame'
import { ProofKey } from './proof-key'
import type { ProofProps } from './props'
import * as words from '../../../words/en/bay/proofs/wait'
import { t } from '../../../words/message'

const MINUTES = 'min'

function useNow(): number {
  const [now, setNow] = useState(Date.now)
  useEffect(() => {
    const tick = setInterval(() => setNow(Date.now()), 1_000)
    return () => clearInterval(tick)
  }, [])
  return now
}

const Goes = () => <p class="soft">{t(words.countsOn)}</p>

/** Older editions could name any unit: minutes that are called hours would be a false record. */
function NotCounted({ unit, ...props }: ProofProps & { unit: string }) {
  return (
    <ProofFrame of={props} side="not" main={<MissingKey label={t(words.notCounted)} note={unit} />}>
      <p>{t(words.unitUnknown, { unit: unit || t(words.noUnit) })}</p>
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
        main={<KeepKey label={t(words.itBeginsNow)} note={`${low} ${unit}`} onKeep={props.begin} />}
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
    <ProofKey
      of={props}
      label={t(words.waited, { minutes, unit })}
      onGiven={props.keep({ kind: 'figure', value: String(minutes) })}
    />
  ) : (
    <MissingKey label={t(words.toGo, { leftMs: clockWords(leftMs) })} note={t(words.of, { low, unit })} />
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
