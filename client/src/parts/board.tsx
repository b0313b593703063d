/**
 * The shadow board: a solid tool in a pale edge is on the board, an empty outline is a tool still in the engine bay.
 * An empty shape is what the eye finds first.
 */
import type { BoardTool } from '../work/shown'
import { Seal } from './seal'
import * as words from '../words/en/parts/board'
import { t } from '../words/message'

interface Outline {
  d: string
  box: string
  wide: boolean
}

/** Our own drawings, seen from above, closed paths with `evenodd` holes. */
const OUTLINES: Record<string, Outline> = {
  torque_wrench: {
    d: 'M4 28a20 20 0 0 1 38-9h150l6-7h118l8 8v16l-8 8H198l-6-7H42A20 20 0 0 1 4 28Z',
    box: '-6 -4 342 64',
    wide: true,
  },
  counter_hold: {
    d: 'M10 8h26v16h120l14-12h22v12h-14l-8 10 8 10h14v12h-22l-14-12H36v16H10V40h12V18H10Z',
    box: '0 -4 202 76',
    wide: false,
  },
  hex_key: { d: 'M18 8h12v58a8 8 0 0 0 8 8h44v12H36A18 18 0 0 1 18 68Z', box: '0 -2 100 98', wide: false },
  pin: { d: 'M30 4h26v12H50l6 6v14l-8 6v46l-5 8-5-8V42l-8-6V22l6-6H30Z', box: '-7 -4 100 108', wide: false },
  bar: { d: 'M8 30h20V14h16v16h40V14h16v16h20v16H8Z', box: '0 2 128 56', wide: false },
  flywheel_lock: { d: 'M14 10h64v18H62v14h16v18l-10 12-10-12V60H34v26H14Z', box: '0 0 94 96', wide: false },
  angle_gauge: { d: 'M48 6a40 40 0 1 1-.1 0ZM48 34a12 12 0 1 0 .1 0Z', box: '-4 -4 104 100', wide: false },
  tester: {
    d: 'M30 4a26 26 0 1 1-.1 0ZM30 16a14 14 0 1 0 .1 0ZM56 24H84V14h14v44H84V48H56Z',
    box: '-4 -6 110 76',
    wide: false,
  },
  spanner: {
    d: 'M10 20l12-12h12v14l-6 6 8 8h96a20 20 0 0 1 34-8l-14 12 14 12a20 20 0 0 1-34-6H36l-8 8v6H16L8 40l8-8Z',
    box: '0 0 176 64',
    wide: false,
  },
  damper_holder: {
    d: 'M46 4a42 42 0 1 1-.1 0ZM46 24a22 22 0 1 0 .1 0ZM84 36h96v20H84Z',
    box: '-4 -6 196 104',
    wide: false,
  },
}

/** What can be drawn; `procedure/language/vocabulary.py` lets a source name no other. */
export const OUTLINE_NAMES = Object.keys(OUTLINES)

/** An outline we have no drawing for is shown as a plain bar: better a plain shape than no tool. */
function Shape({ tool }: { tool: BoardTool }) {
  const outline = OUTLINES[tool.outline] ?? (OUTLINES['bar'] as Outline)
  return (
    <svg class="tool-shape" viewBox={outline.box} aria-hidden="true">
      <path class="tool-edge" d={outline.d} />
      <path class="tool-body" d={outline.d} fill-rule="evenodd" />
    </svg>
  )
}

const STATE = (tool: BoardTool) =>
  tool.lost ? t(words.lost) : tool.out ? t(words.inTheEngineBay) : t(words.onTheBoard)

/** What may be ticked: a tool that hangs here. */
export const isThere = ({ out, lost }: BoardTool): boolean => !out && lost !== true

interface BoardProps {
  tools: readonly BoardTool[]
  onTap: (tool: BoardTool) => void
  /** Slots that were counted, where the board is counted: then a tap ticks, and a tool that is not there says so. */
  ticked?: ReadonlySet<string>
}

export function ToolBoard({ tools, onTap, ticked }: BoardProps) {
  return (
    <ul class="board">
      {tools.map((tool) => (
        <li class={OUTLINES[tool.outline]?.wide ? 'tool-wide' : undefined}>
          <button
            type="button"
            class={tool.out ? 'tool out' : 'tool'}
            aria-pressed={ticked ? ticked.has(tool.slot) : tool.out}
            aria-disabled={ticked !== undefined && !isThere(tool)}
            onClick={() => onTap(tool)}
          >
            <Shape tool={tool} />
            <span>
              {ticked && isThere(tool) && <Seal state={ticked.has(tool.slot) ? 'holds' : 'todo'} size={26} />}
              {tool.tag !== undefined && !tool.label.includes(tool.tag) && `${tool.tag} `}
              {tool.label}
              {tool.id !== undefined && ` ${tool.id}`}
              <span class={ticked && !isThere(tool) ? undefined : 'unseen'}>, {STATE(tool)}</span>
              {!ticked && tool.lost && <b> {t(words.lost)}</b>}
            </span>
          </button>
        </li>
      ))}
    </ul>
  )
}
