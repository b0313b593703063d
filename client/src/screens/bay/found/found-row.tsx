/** A finding as a row that leads to it. */
import { stateWords } from '../../../work/found-words'
import { RowKey } from '../rows'
import { type OfFinding, useFoundWords, type WordsFrom } from './one-finding'

export function FoundRow({ found, to, ...here }: WordsFrom & Pick<OfFinding, 'to'>) {
  const what = useFoundWords({ ...here, found })
  return (
    <RowKey note={stateWords(found)} onPress={() => to('found', 'one', found.entry)}>
      {what}
    </RowKey>
  )
}
