/** What this browser lacks and what that costs, said where a phone joins and on *this phone*. */
import { useEffect, useState } from 'preact/hooks'
import { browserHas, lacksOf, type Lack } from '../store/browser'
import * as words from '../words/en/browser-lacks'
import { t } from '../words/message'

/** Null until the browser has been asked. */
export function useLacks(): readonly Lack[] | null {
  const [lacks, setLacks] = useState<readonly Lack[] | null>(null)
  useEffect(() => void browserHas().then((has) => setLacks(lacksOf(has))), [])
  return lacks
}

export function Lacks({ lacks }: { lacks: readonly Lack[] }) {
  if (lacks.length === 0) return null
  return (
    <section aria-label={t(words.whatThisBrowserLacks)}>
      <p>{t(words.thisBrowserLacks)}</p>
      <ul>
        {lacks.map(({ what, costs }) => (
          <li>
            <b>{what}.</b> {costs}
          </li>
        ))}
      </ul>
    </section>
  )
}
