/** The shadow board of the job. A tap moves a tool; what is still in the engine bay is an empty outline. */
import { ToolBoard } from '../../parts/board'
import type { BoardTool } from '../../work/shown'
import { MissingKey, PlainKey, SideKey } from '../../parts/keys'
import type { HeadProps } from '../../parts/head'
import type { Trouble } from '../../store'
import { useDraft, type Draft } from './drafts'
import { Words, asWords } from './free-words'
import { Frame } from './frame'
import { capital } from '../../work/letters'
import { boardAfter, boardOf } from '../../work/step-tools'
import { loseTool, moveTool } from '../../work/write'
import type { InJob } from './in-job'
import * as words from '../../words/en/bay/tools'
import { t } from '../../words/message'
import { RecordKey } from './act-keys'
import { oneTap } from './one-tap'

const SMALL = [
  t(words.no),
  t(words.one),
  t(words.two),
  t(words.three),
  t(words.four),
  t(words.five),
  t(words.six),
  t(words.seven),
  t(words.eight),
  t(words.nine),
]
const inWords = (count: number) => SMALL[count] ?? String(count)

function boardTitle(out: number): string {
  if (out === 0) return t(words.allOnBoard)
  return t(words.stillOut, { number: inWords(out), out })
}

interface ToolsProps {
  head: HeadProps
  trouble: Trouble | null
  tools: readonly BoardTool[]
  move: (tool: BoardTool) => void
  lost: (tool: BoardTool) => void
  back: () => void
  goOn: () => void
}

function ToolsScreen({ head, trouble, tools, move, lost, back, goOn }: ToolsProps) {
  const out = tools.filter((tool) => tool.out)
  return (
    <Frame
      head={head}
      title={boardTitle(out.length)}
      trouble={trouble}
      side={
        <SideKey
          figure={String(tools.length - out.length)}
          label={t(words.ofOnTheBoard, { tools: tools.length })}
          onPress={back}
        />
      }
      main={<PlainKey label={t(words.goOn)} onPress={goOn} />}
    >
      <div class="bleed" role="group" aria-label={t(words.toolBoard)}>
        <ToolBoard tools={tools} onTap={move} />
      </div>
      <p class="soft">{t(words.tapExplained)}</p>
      {out.length > 0 && (
        <details>
          <summary class="row-key">{t(words.lostTitle)}</summary>
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

function LostScreen({
  head,
  trouble,
  tool,
  draft: [typed, setTyped, , since],
  keep,
  back,
}: {
  head: HeadProps
  trouble: Trouble | null
  tool: BoardTool
  draft: Draft
  keep: (because: string) => Promise<void>
  back: () => void
}) {
  const because = asWords(typed)
  return (
    <Frame
      head={head}
      title={capital(t(words.willNotReturn, { tag: tool.tag ?? tool.label }))}
      trouble={trouble}
      side={<SideKey icon="back" label={t(words.noBack)} onPress={back} />}
      main={
        because === '' ? (
          <MissingKey label={t(words.whyFirst)} />
        ) : (
          <RecordKey label={t(words.itIsLost)} onHeld={() => keep(because)} />
        )
      }
    >
      <p class="stop-words">{t(words.lostWarning)}</p>
      <Words label={t(words.whereLooked)} value={typed} onValue={setTyped} since={since} />
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
  const tools = boardAfter(boardOf(now), act.fresh.value)
  const draft = useDraft(['lost', job, slot ?? ''], '')
  const lost = tools.find((each) => each.slot === slot)
  if (lost) {
    const keep = (because: string) =>
      act.run(
        () => loseTool(store, job, lost.slot, because),
        t(words.recordedAsLost),
        () => to('tools'),
        async () => draft[2](),
      )
    return (
      <LostScreen
        head={head}
        trouble={act.trouble}
        tool={lost}
        draft={draft}
        keep={keep}
        back={() => to('tools')}
      />
    )
  }
  const move = (tool: BoardTool) => {
    const said = `${tool.tag ?? tool.label} ${tool.out ? t(words.onTheBoard) : t(words.taken)}.`
    const write = () => moveTool(store, job, tool.slot, !tool.out, tool.id, null)
    void oneTap(tool.slot, () => act.run(write, said, null))
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
