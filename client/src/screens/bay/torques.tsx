/** Every torque of the job on one page, with what has been given: a row leads to its step, to be read. */
import { PlainKey } from '../../parts/keys'
import { withUnit } from '../../work/limits'
import { torquesOf } from '../../work/look-up'
import { BackKey } from './act-keys'
import { Frame } from './frame'
import type { InJob } from './in-job'
import { RowKey } from './rows'
import * as says from '../../words/en/bay/torques'
import { t } from '../../words/message'

export function Torques({ now, head, to, onward }: Pick<InJob, 'now' | 'head' | 'to' | 'onward'>) {
  return (
    <Frame
      head={head}
      title={t(says.title)}
      side={<BackKey back={() => to('order')} />}
      main={<PlainKey label={t(says.goOn)} onPress={onward} />}
    >
      <p class="soft">{t(says.makersFirst)}</p>
      <ul class="rows" aria-label={t(says.title)}>
        {torquesOf(now.steps).map(({ at, nm, angle, bolts, given, asked }) => (
          <RowKey
            key={at.step.id}
            onPress={() => to('read', at.step.id)}
            note={t(says.more, { bolts, hasBolts: bolts !== '', given, asked })}
          >
            <b>{t(says.figure, { figure: withUnit(nm, 'N·m'), angle, turns: angle !== '' })}</b>
            {t(says.step, { number: at.step.number, title: at.step.title })}
          </RowKey>
        ))}
      </ul>
    </Frame>
  )
}
