/** With an adaptor: two lengths and an angle, drawn to scale, and what the wrench is set to because of them. */
import { useState } from 'preact/hooks'
import type { HeadProps } from '../../../parts/head'
import { MissingKey, PlainKey } from '../../../parts/keys'
import { EntryLine, NumberPad } from '../../../parts/pad'
import type { Adaptor } from '../../../ledger/bodies'
import { adaptorWords, ANGLES, corrected, LENGTHS, type Fitted } from '../../../work/adaptors'
import { BackKey } from '../act-keys'
import { RowKey } from '../rows'
import { capital } from '../../../work/letters'
import { Frame } from '../frame'
import './proofs.css'
import * as words from '../../../words/en/bay/proofs/adaptor'
import { t } from '../../../words/message'

interface AdaptorProps {
  head: HeadProps
  /** The wrench that it goes on. */
  tool: string
  /** What the fastener is to get, N·m. */
  nm: string
  /** Lengths used before, newest first. */
  usual: readonly Fitted[]
  take: (adaptor: Adaptor) => void
  back: () => void
}

type Length = keyof typeof LENGTHS
export function AdaptorScreen(props: AdaptorProps) {
  const onThis = props.usual.filter(({ tool }) => tool === props.tool)
  const [lengths, setLengths] = useState<Partial<Record<Length, number>>>(
    onThis[0] ? { wrench_mm: onThis[0].adaptor.wrench_mm } : {},
  )
  const [angle, setAngle] = useState<number>(0)
  const [measured, setMeasured] = useState<Length | null>(null)
  if (measured !== null) {
    const keep = (mm: number) => {
      setLengths({ ...lengths, [measured]: mm })
      setMeasured(null)
    }
    return <LengthScreen of={measured} keep={keep} back={() => setMeasured(null)} />
  }
  const { wrench_mm, adaptor_mm } = lengths
  const adaptor =
    wrench_mm === undefined || adaptor_mm === undefined ? null : { wrench_mm, adaptor_mm, angle_deg: angle }
  const missing: Length = wrench_mm === undefined ? 'wrench_mm' : 'adaptor_mm'
  return (
    <Frame
      head={props.head}
      title={t(words.adaptorOn, { tool: props.tool })}
      side={<BackKey back={props.back} />}
      main={
        adaptor ? (
          <SetKey {...props} adaptor={adaptor} />
        ) : (
          <MissingKey label={capital(t(words.lengths[missing]))} note={t(words.measureItFirst)} />
        )
      }
    >
      <Drawn wrenchMm={wrench_mm ?? 400} adaptorMm={adaptor_mm ?? 60} angle={angle} />
      <div class="lengths">
        {(['wrench_mm', 'adaptor_mm'] as const).map((of) => (
          <button type="button" class="row-key" onClick={() => setMeasured(of)}>
            <span class="row-words">
              {t(words.lengths[of])}
              <b>{lengths[of] === undefined ? t(words.measure) : t(words.mm, { of: lengths[of] })}</b>
            </span>
          </button>
        ))}
      </div>
      <div class="angles" role="group" aria-label={t(words.angleLabel)}>
        {ANGLES.map((deg) => (
          <button type="button" class="row-key" aria-pressed={deg === angle} onClick={() => setAngle(deg)}>
            <b>{deg}°</b>
          </button>
        ))}
      </div>
      {onThis.length > 0 && (
        <ul class="rows" aria-label={t(words.usedBefore)}>
          {onThis.map(({ adaptor: used }) => (
            <RowKey
              onPress={() => props.take(used)}
              note={t(words.setTo, { setting: corrected(props.nm, used).setting })}
            >
              {adaptorWords(used)}
            </RowKey>
          ))}
        </ul>
      )}
    </Frame>
  )
}

function SetKey({ nm, adaptor, take }: AdaptorProps & { adaptor: Adaptor }) {
  const { setting, fastener } = corrected(nm, adaptor)
  return (
    <PlainKey
      label={t(words.setToKey, { setting })}
      note={t(words.atTheFastener, { fastener })}
      onPress={() => take(adaptor)}
    />
  )
}

function LengthScreen({ of, keep, back }: { of: Length; keep: (mm: number) => void; back: () => void }) {
  const [typed, setTyped] = useState('')
  const { low, high } = LENGTHS[of]
  const mm = /^[0-9]{1,4}$/.test(typed) ? Number(typed) : null
  return (
    <Frame
      title={t(words.measures[of])}
      side={<BackKey back={back} />}
      main={
        mm === null || mm < low || mm > high ? (
          <MissingKey
            label={mm === null ? t(words.noLengthYet) : t(words.notThisLength)}
            note={t(words.toMm, { low, high })}
          />
        ) : (
          <PlainKey label={t(words.mmKey, { mm })} onPress={() => keep(mm)} />
        )
      }
    >
      <div>
        <EntryLine
          id="length"
          label={t(words.wholeMillimetres)}
          value={typed}
          onValue={(text) => setTyped(text.slice(0, 4))}
        />
      </div>
      <NumberPad value={typed} onValue={(text) => setTyped(text.slice(0, 4))} decimal={false} />
    </Frame>
  )
}

/** Hand, square and fastener to scale; the arm that counts is the one along the wrench. */
function Drawn({ wrenchMm, adaptorMm, angle }: { wrenchMm: number; adaptorMm: number; angle: number }) {
  const scale = 280 / (wrenchMm + adaptorMm)
  const square = { x: 22 + wrenchMm * scale, y: 78 }
  const rad = (angle * Math.PI) / 180
  const long = Math.max(adaptorMm * scale, 24) // a short one would hide under its own ends
  const end = {
    x: square.x + long * Math.cos(rad),
    y: square.y - Math.min(long, 64 / Math.max(Math.sin(rad), 0.01)) * Math.sin(rad),
  }
  return (
    <svg class="adaptor-drawn" viewBox="0 0 332 100" aria-hidden="true">
      <path d={`M22 78H${square.x}`} stroke="var(--ink)" stroke-width="8" />
      <path d={`M${square.x} ${square.y}L${end.x} ${end.y}`} stroke="var(--act)" stroke-width="8" />
      <circle cx="22" cy="78" r="14" fill="var(--ground)" stroke="var(--ink)" stroke-width="4.5" />
      <rect x={square.x - 9} y={square.y - 9} width="18" height="18" fill="var(--ink)" />
      <circle cx={end.x} cy={end.y} r="12" fill="var(--ground)" stroke="var(--act)" stroke-width="4.5" />
    </svg>
  )
}
