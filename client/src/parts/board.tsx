/**
 * The shadow board: a solid tool in a pale edge is on the board, an empty outline is a tool still in the engine bay.
 * An empty shape is what the eye finds first.
 */
import { useMemo, useState } from 'preact/hooks'
import type { BoardTool } from '../work/shown'
import { Seal } from './seal'
import * as words from '../words/en/parts/board'
import { t } from '../words/message'

interface Outline {
  d: string
  box: string
}

/** Our own drawings, seen from above, closed paths with `evenodd` holes. */
const OUTLINES: Record<string, Outline> = {
  torque_wrench: {
    d: 'M4 28a20 20 0 0 1 38-9h60l6-7h64l8 8v16l-8 8h-64l-6-7H42A20 20 0 0 1 4 28Z',
    box: '-6 -4 196 64',
  },
  counter_hold: {
    d: 'M10 8h26v16h120l14-12h22v12h-14l-8 10 8 10h14v12h-22l-14-12H36v16H10V40h12V18H10Z',
    box: '0 -4 202 76',
  },
  hex_key: { d: 'M18 8h12v58a8 8 0 0 0 8 8h44v12H36A18 18 0 0 1 18 68Z', box: '0 -2 100 98' },
  pin: { d: 'M30 4h26v12H50l6 6v14l-8 6v46l-5 8-5-8V42l-8-6V22l6-6H30Z', box: '-7 -4 100 108' },
  bar: { d: 'M8 30h20V14h16v16h40V14h16v16h20v16H8Z', box: '0 2 128 56' },
  flywheel_lock: { d: 'M14 10h64v18H62v14h16v18l-10 12-10-12V60H34v26H14Z', box: '0 0 94 96' },
  angle_gauge: { d: 'M48 6a40 40 0 1 1-.1 0ZM48 34a12 12 0 1 0 .1 0Z', box: '-4 -4 104 100' },
  tester: {
    d: 'M30 4a26 26 0 1 1-.1 0ZM30 16a14 14 0 1 0 .1 0ZM56 24H84V14h14v44H84V48H56Z',
    box: '-4 -6 110 76',
  },
  spanner: {
    d: 'M10 20l12-12h12v14l-6 6 8 8h96a20 20 0 0 1 34-8l-14 12 14 12a20 20 0 0 1-34-6H36l-8 8v6H16L8 40l8-8Z',
    box: '0 0 176 64',
  },
  damper_holder: {
    d: 'M46 4a42 42 0 1 1-.1 0ZM46 24a22 22 0 1 0 .1 0ZM84 36h96v20H84Z',
    box: '-4 -6 196 104',
  },
}

/** What can be drawn; `procedure/language/vocabulary.py` lets a source name no other. */
export const OUTLINE_NAMES = Object.keys(OUTLINES)

/** An outline we have no drawing for is shown as a plain bar: better a plain shape than no tool. */
function Shape({ outline }: Pick<BoardTool, 'outline'>) {
  const { box, d } = OUTLINES[outline] ?? (OUTLINES['bar'] as Outline)
  return (
    <svg class="tool-shape" viewBox={box} aria-hidden="true">
      <path class="tool-edge" d={d} />
      <path class="tool-body" d={d} fill-rule="evenodd" />
    </svg>
  )
}

const STATE = (out: boolean, isLost: boolean) =>
  isLost ? t(words.lost) : out ? t(words.inTheEngineBay) : t(words.onTheBoard)

/** What may be ticked: a tool that hangs here. */
export const isThere = ({ out, lost }: BoardTool): boolean => !out && lost !== true

/** What stands on a tool's key, drawn anew only where it says something else: a tap moves one of a dozen. */
function Face({ tool, isTicked }: { tool: BoardTool; isTicked: boolean | null }) {
  const { outline, tag, label, id, out } = tool
  const [isLost, isHere] = [tool.lost === true, isThere(tool)]
  return useMemo(
    () => (
      <>
        <Shape outline={outline} />
        <span>
          {isTicked !== null && isHere && <Seal state={isTicked ? 'holds' : 'todo'} size={26} />}
          {tag !== undefined && !label.includes(tag) && `${tag} `}
          {label}
          {id !== undefined && ` ${id}`}
          <span class={isTicked !== null && !isHere ? undefined : 'unseen'}>, {STATE(out, isLost)}</span>
          {isTicked === null && isLost && <b> {t(words.lost)}</b>}
        </span>
      </>
    ),
    [outline, tag, label, id, out, isLost, isHere, isTicked],
  )
}

interface BoardProps {
  tools: readonly BoardTool[]
  /** `moved` shows the tool as moved at once; what the board is drawn from says so a little later. */
  onTap: (tool: BoardTool, moved: () => void) => void
  /** A finger came down on it: what a tap does can be made ready. */
  onDown?: (tool: BoardTool) => void
  /** Slots that were counted, where the board is counted: then a tap ticks, and a tool that is not there says so. */
  ticked?: ReadonlySet<string>
}

export function ToolBoard({ tools, ...props }: BoardProps) {
  return (
    <ul class="board">
      {tools.map((tool) => (
        <ToolKey key={tool.slot} tool={tool} {...props} />
      ))}
    </ul>
  )
}

/** One that was moved is drawn by itself until the board is another: the mark of a tap waits neither for that nor for a fold. */
function ToolKey({ tool: known, onTap, onDown, ticked }: Omit<BoardProps, 'tools'> & { tool: BoardTool }) {
  const [moved, setMoved] = useState<BoardTool | null>(null)
  const tool = moved === known ? { ...known, out: !known.out } : known
  return (
    <li>
      <button
        type="button"
        class={tool.out ? 'tool out' : 'tool'}
        aria-pressed={ticked ? ticked.has(tool.slot) : tool.out}
        aria-disabled={ticked !== undefined && !isThere(tool)}
        onPointerDown={() => onDown?.(tool)}
        onClick={() => onTap(tool, () => setMoved(moved === known ? null : known))}
      >
        <Face tool={tool} isTicked={ticked ? ticked.has(tool.slot) : null} />
      </button>
    </li>
  )
}
