/**
 * The odometer, asked in a step: held against what the job was opened at. Where the two cannot both be, it is a question
 * that one tap answers, and the answer is kept with the reading.
 */
import { useState } from 'preact/hooks'
import { MissingKey } from '../../../parts/keys'
import { EntryLine, NumberPad } from '../../../parts/pad'
import { dialUnitIn, dialWords } from '../../../work/dial-unit'
import { isoDay } from '../../../work/format'
import { judge, outsideWords } from '../../../work/limits'
import { MOST_KM, odometer } from '../../../work/odometer'
import type { OdometerBefore } from '../../../work/odometer-before'
import { odometerDoubtOf } from '../../../work/opening'
import { BackKey } from '../act-keys'
import { Frame } from '../frame'
import { RowKey } from '../rows'
import { MilesRow } from '../stage'
import { ProofKey } from './proof-key'
import type { ProofProps } from './props'
import * as words from '../../../words/en/bay/proofs/odometer'
import { t } from '../../../words/message'

const LONGEST = 12

/** @param before what it read last in this job, and the entry that says so */
export function OdometerScreen({ before, ...props }: ProofProps & { before: OdometerBefore }) {
  const [typed, setTyped] = useState('')
  const [inMiles, setInMiles] = useState(before.unit === 'mi')
  const [answer, setAnswer] = useState<string | null>(null)
  const read = odometer(typed, inMiles)
  const type = (text: string) => {
    setTyped(text.slice(0, LONGEST))
    setAnswer(null)
  }
  const doubt = 'km' in read ? odometerDoubtOf(read.km, before, isoDay(new Date())) : null
  return (
    <Frame
      {...(doubt ? { head: props.head } : {})}
      title={doubt ? t(words.whichIsTrue) : props.proof.label}
      trouble={props.trouble}
      side={<BackKey back={props.back} />}
      main={<MainKey {...props} read={read} inMiles={inMiles} doubt={doubt} answer={answer} />}
    >
      <div>
        <EntryLine id="figure" label={t(words.asItStands, { inMiles })} value={typed} onValue={type} />
      </div>
      {doubt ? (
        <>
          <p class="stop-words">{doubt.says}</p>
          <ul class="rows" aria-label={doubt.says}>
            {doubt.answers.map((says) => (
              <RowKey key={says} pressed={answer === says} onPress={() => setAnswer(says)}>
                {says}
              </RowKey>
            ))}
            <RowKey onPress={() => type('')}>{t(words.typeAnew)}</RowKey>
          </ul>
        </>
      ) : (
        <>
          <NumberPad value={typed} onValue={type} decimal={false} />
          <MilesRow inMiles={inMiles} set={(part) => setInMiles(part.inMiles)} />
        </>
      )}
    </Frame>
  )
}

interface MainProps extends ProofProps {
  read: ReturnType<typeof odometer>
  inMiles: boolean
  doubt: ReturnType<typeof odometerDoubtOf>
  answer: string | null
}

function MainKey({ read, inMiles, doubt, answer, ...props }: MainProps) {
  if ('wrong' in read)
    return (
      <MissingKey
        label={t(words.noFigure)}
        note={t(words.figureWrong, { wrong: read.wrong, most: MOST_KM })}
      />
    )
  const value = String(read.km)
  if (judge(value, props.proof) !== 'inside')
    return <MissingKey label={t(words.lookAgain)} note={outsideWords(value, props.proof)} />
  if (doubt && answer === null)
    return <MissingKey label={t(words.answerAbove)} note={dialWords(read.km, dialUnitIn({ inMiles }))} />
  const doubted = doubt && answer !== null ? { doubted: `${doubt.says} ${answer}` } : {}
  const corrects =
    doubt?.correcting === answer && doubt?.corrects !== undefined ? { corrects: doubt.corrects } : {}
  return (
    <ProofKey
      of={props}
      label={dialWords(read.km, dialUnitIn({ inMiles }))}
      onGiven={props.keep({ kind: 'figure', value, ...doubted, ...corrects })}
    />
  )
}
