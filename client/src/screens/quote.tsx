/** What a quote is made of: parts, coolant and hours of this workshop's own jobs. No prices. */
import { useEffect, useState } from 'preact/hooks'
import type { HoursAnswer } from '../ledger/answers'
import type { Bundle } from '../procedure/bundle'
import { quoteOf } from '../work/enquiry'
import { hoursOf, hoursWords, type Hours } from '../work/hours-here'
import { reading } from './reading'
import type { Rooms } from './rooms'
import * as words from '../words/en/quote'
import { t } from '../words/message'

export function useHours({ store, sync }: Rooms, procedure: string): Hours | null {
  const [hours, setHours] = useState<Hours | null>(null)
  useEffect(
    () =>
      reading(
        hoursOf(store, (path) => sync.ask<HoursAnswer>(path), procedure),
        setHours,
      ),
    [store, sync, procedure],
  )
  return hours
}

const line = ({ label, count }: { label: string; count: number }) =>
  count === 1 ? label : t(words.times, { count, label })

export function Quote({ bundle, ...rooms }: Rooms & { bundle: Bundle }) {
  const { kit, singleUse, litres } = quoteOf(bundle)
  const hours = useHours(rooms, bundle.id)
  return (
    <section>
      <h2 class="phase-head">{t(words.forAQuote)}</h2>
      <ul class="given">
        {kit.length > 0 && <li>{t(words.kit, { parts: kit.map(line).join(', ') })}</li>}
        {singleUse.length > 0 && <li>{t(words.singleUse, { parts: singleUse.map(line).join(', ') })}</li>}
        {litres !== null && <li>{t(words.coolant, { litres })}</li>}
        <li>{t(words.hours, { says: hours === null ? '…' : hoursWords(hours) })}</li>
      </ul>
      <p class="soft">{t(words.outOf, { name: bundle.name, edition: bundle.edition })}</p>
    </section>
  )
}
