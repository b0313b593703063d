/** The shadow board of the job. A tap moves a tool; what is still in the engine bay is an empty outline. */
import { useMemo } from 'preact/hooks'
import type { BoardTool } from '../../work/shown'
import { MissingKey, PlainKey, SideKey } from '../../parts/keys'
import { useDraft } from './drafts'
import { Words, asWords } from './free-words'
import { Frame } from './frame'
import { capital } from '../../work/letters'
import { boardOf } from '../../work/step-tools'
import { loseTool } from '../../work/write'
import type { InJob } from './in-job'
import { RowKey } from './rows'
import * as words from '../../words/en/bay/tools'
import { t } from '../../words/message'
import { NoBackKey, RecordKey } from './act-keys'
import { TappedBoard } from './tapped-board'

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

/** The job's board, or what is said of the tool in `slot` that will not come back. */
export function Tools({ slot, ...inJob }: InJob & { slot: string | undefined }) {
  const tools = useMemo(() => boardOf(inJob.now), [inJob.now])
  const lost = tools.find((each) => each.slot === slot)
  return lost ? <Lost {...inJob} tool={lost} /> : <Board {...inJob} tools={tools} />
}

function Board({ tools, ...inJob }: InJob & { tools: readonly BoardTool[] }) {
  const { framed, to, onward } = inJob
  const out = tools.filter((tool) => tool.out)
  return (
    <Frame
      {...framed}
      title={boardTitle(out.length)}
      side={
        <SideKey
          figure={String(tools.length - out.length)}
          label={t(words.ofOnTheBoard, { tools: tools.length })}
          onPress={() => to('order')}
        />
      }
      main={<PlainKey label={t(words.goOn)} onPress={onward} />}
    >
      <TappedBoard {...inJob} tools={tools} asked={null} />
      <p class="soft">{t(words.tapExplained)}</p>
      {out.length > 0 && (
        <details>
          <summary class="row-key">{t(words.lostTitle)}</summary>
          <ul class="rows">
            {out.map((tool) => (
              <RowKey key={tool.slot} onPress={() => to('tools', tool.slot)}>
                {tool.tag} {tool.label}
              </RowKey>
            ))}
          </ul>
        </details>
      )}
    </Frame>
  )
}

function Lost({ tool, act, framed, store, job, to }: InJob & { tool: BoardTool }) {
  const [typed, setTyped, forget, since] = useDraft(['lost', job, tool.slot], '')
  const because = asWords(typed)
  const keep = () =>
    act.run(
      () => loseTool(store, job, tool.slot, because),
      t(words.recordedAsLost),
      () => to('tools'),
      forget,
    )
  return (
    <Frame
      {...framed}
      title={capital(t(words.willNotReturn, { tag: tool.tag ?? tool.label }))}
      side={<NoBackKey back={() => to('tools')} />}
      main={
        because === '' ? (
          <MissingKey label={t(words.whyFirst)} />
        ) : (
          <RecordKey label={t(words.itIsLost)} onHeld={keep} />
        )
      }
    >
      <p class="stop-words">{t(words.lostWarning)}</p>
      <Words label={t(words.whereLooked)} value={typed} onValue={setTyped} since={since} />
    </Frame>
  )
}
