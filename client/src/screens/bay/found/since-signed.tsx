/** What was agreed after the driver signed needs a word of its own: their signature once more, or how they took it. */
import { useState } from 'preact/hooks'
import { MissingKey } from '../../../parts/keys'
import { SignaturePad } from '../../../parts/signature'
import type { Since } from '../../../work/agreed-since'
import { sayOfSince } from '../../../work/write-found'
import { BackKey, RecordKey } from '../act-keys'
import { useDraft } from '../drafts'
import { Frame } from '../frame'
import { asWords, Words } from '../free-words'
import type { InJob } from '../in-job'
import { RowKey } from '../rows'
import { FoundRow } from './found-row'
import type { Rooms } from '../../rooms'
import * as says from '../../../words/en/bay/found/since-signed'
import { t } from '../../../words/message'

type Props = InJob & Pick<Rooms, 'sync'> & { since: Since }

export function SinceSigned({ since, ...inJob }: Props) {
  const { store, job, framed, act, to } = inJob
  const [path, setPath] = useState('')
  const [isAway, setAway] = useState(false)
  const [typed, setTyped, forget, typedSince] = useDraft(['since', job], '')
  const said = asWords(typed)
  const back = () => to('close')
  const keep = () =>
    act.run(
      () => sayOfSince(store, job, since, isAway ? { words: said } : { signature: path }),
      t(says.isKept),
      back,
      forget,
    )
  const isSaid = isAway ? said !== '' : path !== ''
  return (
    <Frame
      {...framed}
      title={t(says.agreedSince)}
      side={<BackKey back={back} />}
      main={
        isSaid ? (
          <RecordKey label={isAway ? t(says.keepTheWord) : t(says.thisIsSigned)} onHeld={keep} />
        ) : (
          <MissingKey label={isAway ? t(says.sayAbove) : t(says.signAbove)} />
        )
      }
    >
      <p class="reason">{t(says.because)}</p>
      <ul class="rows" aria-label={t(says.agreedSince)}>
        {since.found.map((found) => (
          <FoundRow key={found.entry} {...inJob} found={found} />
        ))}
      </ul>
      {isAway ? (
        <Words label={t(says.howTheyTookIt)} value={typed} onValue={setTyped} since={typedSince} />
      ) : (
        <SignaturePad label={since.label} path={path} onPath={setPath} />
      )}
      <ul class="rows">
        <RowKey pressed={isAway} onPress={() => setAway(!isAway)}>
          {t(says.notHere)}
        </RowKey>
      </ul>
    </Frame>
  )
}
