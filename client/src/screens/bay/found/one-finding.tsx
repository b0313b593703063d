/** One finding: what it is, what the customer said, the work for it; and the one act that comes next. */
import type { ComponentChildren } from 'preact'
import { PlainKey } from '../../../parts/keys'
import type { ExtraNow, FoundNow } from '../../../work/found'
import { extraWords, placeWords, stateWords } from '../../../work/found-words'
import { BackKey } from '../act-keys'
import { Frame } from '../frame'
import type { InJob } from '../in-job'
import { RowKey } from '../rows'
import type { Rooms } from '../../rooms'
import { Thumb } from '../../record/photo'
import { useSecret } from '../../secret'
import * as says from '../../../words/en/bay/found/one-finding'
import { t } from '../../../words/message'

export type OfFinding = InJob & Pick<Rooms, 'sync'> & { found: FoundNow }

/** `sync`: absent where no line is waited for. */
export type WordsFrom = Pick<OfFinding, 'store' | 'found'> & Partial<Pick<OfFinding, 'sync'>>

/** What was found, in the words that are here. */
export function useFoundWords({ found, ...from }: WordsFrom): string {
  const own = useSecret(from, found.words ?? undefined)
  return own ?? found.offered ?? placeWords(found)
}

export function ExtraLine({ extra, store, sync }: Pick<OfFinding, 'store' | 'sync'> & { extra: ExtraNow }) {
  const what = useSecret({ store, sync }, extra.what)
  return (
    <>
      {what ?? t(says.extra)} <small>{extraWords(extra)}</small>
    </>
  )
}

export function OneFinding({ found, ...inJob }: OfFinding) {
  const { framed, now, to, store, sync } = inJob
  const title = useFoundWords({ store, sync, found })
  const isOver = now.row.end !== null
  const can = !isOver && found.settled === null
  return (
    <Frame
      {...framed}
      title={title}
      side={<BackKey back={() => to('found')} />}
      main={
        can ? <NextKey found={found} to={to} /> : <PlainKey label={t(says.all)} onPress={() => to('found')} />
      }
    >
      <p>
        <b>{stateWords(found)}</b>
      </p>
      <p class="soft">
        {t(says.seenAt, { step: found.step ? `${found.step.number} ${found.step.title}`.trim() : '' })}
      </p>
      <FoundPhoto {...inJob} found={found} />
      {isOver && <p class="soft">{t(says.jobIsOver)}</p>}
      <Extras {...inJob} found={found} can={can} />
      <ul class="rows" aria-label={t(says.more)}>
        {can && <RowKey onPress={() => to('found', 'extra', found.entry)}>{t(says.addExtra)}</RowKey>}
        {!isOver && found.state !== 'asked' && found.state !== 'unsure' && (
          <RowKey onPress={() => to('found', 'word', found.entry)}>{t(says.otherWord)}</RowKey>
        )}
        {isOver && <RowKey onPress={() => to('found', 'word', found.entry)}>{t(says.wordAfterwards)}</RowKey>}
        {can && found.state !== 'refused' && (
          <RowKey onPress={() => to('found', 'settle', found.entry)}>{t(says.settleIt)}</RowKey>
        )}
      </ul>
    </Frame>
  )
}

/** As it was photographed; in a word why it is not shown. */
function FoundPhoto({ found, now, store, sync }: OfFinding) {
  const taken = now.held.find(({ entry }) => entry.id === found.photo)?.entry
  if (taken?.kind !== 'photo.taken') return null
  return (
    <figure class="found-photo">
      <Thumb store={store} sync={sync} blob={taken.body.blob} isWanted />
    </figure>
  )
}

function Extras({ found, can, store, sync, to }: OfFinding & { can: boolean }) {
  const row = (extra: ExtraNow): ComponentChildren => {
    const line = <ExtraLine extra={extra} store={store} sync={sync} />
    return can && extra.state === 'agreed' ? (
      <RowKey key={extra.entry} onPress={() => to('found', 'do', extra.entry)}>
        {line}
      </RowKey>
    ) : (
      <li key={extra.entry}>{line}</li>
    )
  }
  if (found.extras.length === 0) return null
  return (
    <ul class="rows" aria-label={t(says.extras)}>
      {found.extras.map(row)}
    </ul>
  )
}

/** Asked: to the customer's word. Agreed: to the first of its extras, or to what shows that it is put right. */
function NextKey({ found, to }: Pick<OfFinding, 'found' | 'to'>) {
  const next = found.extras.find(({ state }) => state === 'agreed')
  if (found.state === 'refused')
    return <PlainKey label={t(says.all)} note={t(says.staysAdvice)} onPress={() => to('found')} />
  if (found.state !== 'agreed')
    return (
      <PlainKey
        label={t(says.customersWord)}
        note={t(says.yesOrNo)}
        onPress={() => to('found', 'word', found.entry)}
      />
    )
  return next ? (
    <PlainKey label={t(says.doNext)} note={t(says.thenTick)} onPress={() => to('found', 'do', next.entry)} />
  ) : (
    <PlainKey
      label={t(says.putRight)}
      note={t(says.showIt)}
      onPress={() => to('found', 'settle', found.entry)}
    />
  )
}
