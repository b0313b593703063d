/** The road to another way of taking the same reading: as a row, and as the key where nothing else is left to do. */
import { PlainKey } from '../../../parts/keys'
import { capital } from '../../../work/letters'
import { RowKey } from '../rows'
import type { NextWay } from './props'
import * as words from '../../../words/en/bay/proofs/other-way'
import { t } from '../../../words/message'

export const OtherWay = ({ next }: { next: NextWay | null }) =>
  next && (
    <ul class="rows">
      <RowKey note={t(words.anotherWay)} onPress={next.go}>
        {capital(next.says)}
      </RowKey>
    </ul>
  )

export const OtherWayKey = ({ next }: { next: NextWay }) => (
  <PlainKey label={capital(next.says)} note={t(words.anotherWay)} onPress={next.go} />
)
