/** A count of named things: each is looked for and ticked by itself, and the key names the one that is missing. */
import { useState } from 'preact/hooks'
import { isThere, ToolBoard } from '../../../parts/board'
import type { BoardTool } from '../../../work/shown'
import { HoldKey, MissingKey } from '../../../parts/keys'
import { Seal } from '../../../parts/seal'
import type { Trouble } from '../../../store'
import { capital } from '../../../work/job'
import { shake } from '../vibrate'
import { ProofFrame } from './frame'
import { doneWords, type ProofProps } from './props'
import { countOf, isTicked, missingOf, type Thing } from './counted-things'
import './proofs.css'

export interface TicksProps extends ProofProps {
  things: readonly Thing[]
}

const flipped = (taps: ReadonlySet<string>, id: string) =>
  taps.has(id) ? new Set([...taps].filter((each) => each !== id)) : new Set([...taps, id])

/** Why a tool that is not there cannot be counted. */
function away({ label, lost }: BoardTool): Trouble {
  if (lost)
    return {
      code: 'tool-lost',
      message: `${capital(label)} is lost.`,
      hint: 'It cannot be counted. Add a note for the owner.',
    }
  return {
    code: 'tool-out',
    message: `${capital(label)} is still in the engine bay.`,
    hint: 'Bring it back and hang it on the tool board, behind the head band. Then count again.',
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
    <HoldKey
      label={`All ${all} are here`}
      onHeld={() => props.keep({ kind: 'figure', value: String(all) })}
      done={doneWords(props)}
    />
  )
  const board = things.flatMap(({ tool }) => (tool ? [tool] : []))
  return (
    <ProofFrame of={props} side="not" main={main} trouble={trouble}>
      {board.length > 0 ? (
        <div class="bleed" role="group" aria-label="Tools to count">
          <ToolBoard tools={board} onTap={tapTool} ticked={new Set(ticked.map(({ id }) => id))} />
        </div>
      ) : (
        <ul class="ticks" aria-label="To be ticked">
          {things.map((thing) => (
            <Tick key={thing.id} thing={thing} on={isTicked(thing, taps)} tap={() => tap(thing.id)} />
          ))}
        </ul>
      )}
      <p class="soft">
        {board.length > 0 ? 'Tap each tool that hangs in its place.' : 'Tap each part that lies here.'}
      </p>
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
