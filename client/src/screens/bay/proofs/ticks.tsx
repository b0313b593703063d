/** A count of named things: each is looked for and ticked by itself, and the key names the one that is missing. */
import { useState } from 'preact/hooks'
import { isThere, ToolBoard } from '../../../parts/board'
import type { BoardTool } from '../../../work/shown'
import { MissingKey } from '../../../parts/keys'
import { Seal } from '../../../parts/seal'
import type { Trouble } from '../../../store'
import { capital } from '../../../work/letters'
import { shake } from '../vibrate'
import { ProofFrame } from './frame'
import { ProofKey } from './proof-key'
import type { ProofProps } from './props'
import { countOf, flipped, isTicked, missingOf, type Thing } from './counted-things'
import './proofs.css'
import * as words from '../../../words/en/bay/proofs/ticks'
import { t } from '../../../words/message'

interface TicksProps extends ProofProps {
  things: readonly Thing[]
}

/** Why a tool that is not there cannot be counted. */
function away({ label, lost }: BoardTool): Trouble {
  if (lost)
    return {
      code: 'tool-lost',
      message: t(words.toolLost, { label: capital(label) }),
      hint: t(words.toolLostHint),
    }
  return {
    code: 'tool-out',
    message: t(words.toolOut, { label: capital(label) }),
    hint: t(words.toolOutHint),
  }
}

export function TicksScreen(props: TicksProps) {
  const { things } = props
  const [taps, setTaps] = useState<ReadonlySet<string>>(new Set())
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const ticked = things.filter((thing) => isTicked(thing, taps))
  const missing = missingOf(things, taps)
  const all = countOf(things)
  const tap = (id: string) => {
    setTrouble(null)
    setTaps(flipped(taps, id))
  }
  const tapTool = (tool: BoardTool) => {
    if (isThere(tool)) return tap(tool.slot)
    shake()
    setTrouble(away(tool))
  }
  const main = missing ? (
    <MissingKey label={capital(missing.thing.label)} note={missing.because} />
  ) : (
    <ProofKey
      of={props}
      label={t(words.allAreHere, { all })}
      onGiven={props.keep({ kind: 'figure', value: String(all) })}
    />
  )
  const board = things.flatMap(({ tool }) => (tool ? [tool] : []))
  return (
    <ProofFrame of={props} side="not" main={main} trouble={trouble}>
      {board.length > 0 ? (
        <div class="bleed" role="group" aria-label={t(words.toolsToCount)}>
          <ToolBoard tools={board} onTap={tapTool} ticked={new Set(ticked.map(({ id }) => id))} />
        </div>
      ) : (
        <ul class="ticks" aria-label={t(words.toBeTicked)}>
          {things.map((thing) => (
            <Tick key={thing.id} thing={thing} on={isTicked(thing, taps)} tap={() => tap(thing.id)} />
          ))}
        </ul>
      )}
      <p class="soft">{board.length > 0 ? t(words.tapTools) : t(words.tapParts)}</p>
    </ProofFrame>
  )
}

function Tick({ thing: { label, count }, on, tap }: { thing: Thing; on: boolean; tap: () => void }) {
  return (
    <li>
      <button type="button" class="row-key tick" aria-pressed={on} onClick={tap}>
        <Seal state={on ? 'holds' : 'todo'} size={34} />
        <span class="row-words">
          {count > 1 && <b>{count} </b>}
          {label}
        </span>
      </button>
    </li>
  )
}
