/** The shadow board of the job. A tap moves a tool; what is still in the engine bay is an empty outline. */
import { useState } from 'preact/hooks'
import { ToolBoard } from '../../parts/board'
import type { BoardTool } from '../../work/shown'
import { HoldKey, MissingKey, PlainKey, SideKey } from '../../parts/keys'
import type { HeadProps } from '../../parts/head'
import type { Trouble } from '../../store'
import { Words, asWords } from './free-words'
import { Frame } from './frame'
import { capital } from '../../work/job'
import { boardOf } from '../../work/step-tools'
import { loseTool, moveTool } from '../../work/write'
import type { InJob } from './in-job'

const SMALL = ['No', 'One', 'Two', 'Three', 'Four', 'Five', 'Six', 'Seven', 'Eight', 'Nine']
const inWords = (count: number) => SMALL[count] ?? String(count)

export function boardTitle(out: number): string {
  if (out === 0) return 'All tools are on the board'
  return `${inWords(out)} ${out === 1 ? 'tool is' : 'tools are'} still in the engine bay`
}

export interface ToolsProps {
  head: HeadProps
  trouble: Trouble | null
  tools: readonly BoardTool[]
  move: (tool: BoardTool) => void
  lost: (tool: BoardTool) => void
  back: () => void
  goOn: () => void
}

export function ToolsScreen({ head, trouble, tools, move, lost, back, goOn }: ToolsProps) {
  const out = tools.filter((tool) => tool.out)
  return (
    <Frame
      head={head}
      title={boardTitle(out.length)}
      trouble={trouble}
      deck={
        <>
          <SideKey
            figure={String(tools.length - out.length)}
            label={`of ${tools.length} on the board`}
            onPress={back}
          />
          <PlainKey label="Go on" onPress={goOn} />
        </>
      }
    >
      <div class="bleed" role="group" aria-label="Tool board">
        <ToolBoard tools={tools} onTap={move} />
      </div>
      <p class="soft">A tap takes a tool out, or hangs it back.</p>
      {out.length > 0 && (
        <details>
          <summary class="row-key">A tool will not come back</summary>
          <ul class="rows">
            {out.map((tool) => (
              <li>
                <button type="button" class="row-key" onClick={() => lost(tool)}>
                  <span class="row-words">
                    {tool.tag} {tool.label}
                  </span>
                </button>
              </li>
            ))}
          </ul>
        </details>
      )}
    </Frame>
  )
}

export function LostScreen({
  head,
  trouble,
  tool,
  keep,
  back,
}: {
  head: HeadProps
  trouble: Trouble | null
  tool: BoardTool
  keep: (because: string) => Promise<void>
  back: () => void
}) {
  const [typed, setTyped] = useState('')
  const because = asWords(typed)
  return (
    <Frame
      head={head}
      title={capital(`${tool.tag ?? tool.label} will not come back`)}
      trouble={trouble}
      deck={
        <>
          <SideKey icon="back" label="no, back" onPress={back} />
          {because === '' ? (
            <MissingKey label="Why first" />
          ) : (
            <HoldKey
              label="It is lost"
              note="hold to record"
              done="on this phone"
              onHeld={() => keep(because)}
            />
          )}
        </>
      }
    >
      <p class="stop-words">
        A tool left in an engine breaks it at the first start. Look once more before it is called lost.
      </p>
      <Words
        label="Where was it looked for, and why will it not come back?"
        value={typed}
        onValue={setTyped}
      />
    </Frame>
  )
}

export interface StepToolsProps {
  head: HeadProps
  title: string
  trouble: Trouble | null
  /** Only the tools this step moves. */
  tools: readonly BoardTool[]
  /** Which way they go here. */
  way: 'out' | 'in'
  move: (tool: BoardTool) => void
  back: () => void
}

/** Within a step: tap each tool as it goes. The step waits until all have moved. */
export function StepToolsScreen({ head, title, trouble, tools, way, move, back }: StepToolsProps) {
  const left = tools.filter((tool) => tool.out !== (way === 'out'))
  const done = tools.length - left.length
  const [first] = left
  return (
    <Frame
      head={head}
      title={title}
      trouble={trouble}
      deck={
        <>
          <SideKey
            figure={String(done)}
            label={`of ${tools.length} ${way === 'out' ? 'taken' : 'hung back'}`}
            onPress={back}
          />
          {first ? (
            <MissingKey
              label={capital(
                `${first.tag ?? first.label} ${way === 'out' ? 'is on the board' : 'is still out'}`,
              )}
              note="tap it above"
            />
          ) : (
            <PlainKey label={`${done} of ${tools.length}`} note="go on" onPress={back} />
          )}
        </>
      }
    >
      <div class="bleed" role="group" aria-label="Tool board">
        <ToolBoard tools={tools} onTap={move} />
      </div>
      <p class="soft">
        {way === 'out' ? 'Tap each tool as it is taken.' : 'Tap each tool as it hangs on the board again.'}
      </p>
    </Frame>
  )
}

export function Tools({
  now,
  act,
  head,
  store,
  job,
  to,
  onward,
  slot,
}: InJob & { slot: string | undefined }) {
  const tools = boardOf(now)
  const lost = tools.find((each) => each.slot === slot)
  if (lost) {
    const keep = (because: string) =>
      act.run(
        () => loseTool(store, job, lost.slot, because),
        'Recorded as lost.',
        () => to('tools'),
      )
    return <LostScreen head={head} trouble={act.trouble} tool={lost} keep={keep} back={() => to('tools')} />
  }
  const move = (tool: BoardTool) => {
    const said = `${tool.tag ?? tool.label} ${tool.out ? 'on the board' : 'taken'}.`
    act
      .run(() => moveTool(store, job, tool.slot, !tool.out, tool.id, null), said, null)
      .catch(() => undefined) // `trouble` shows it
  }
  return (
    <ToolsScreen
      head={head}
      trouble={act.trouble}
      tools={tools}
      move={move}
      lost={(tool) => to('tools', tool.slot)}
      back={() => to('order')}
      goOn={onward}
    />
  )
}
