/** The head band: job and step, place and its count, the rule. One target; it opens the order of work. */
import { PlacePlates, placeOf, placeWords } from './place'
import type { PlaceCounts, RuleNow } from '../work/shown'
import { Rule } from './rule'
import * as words from '../words/en/parts/head'
import { t } from '../words/message'

export interface HeadProps {
  job: string
  step: string | null
  places: PlaceCounts
  /** Said in place of the count when the phone is cut off and that matters more, e.g. 'no signal'. */
  sync?: string
  rule: RuleNow
  onOpen: () => void
}

export function HeadBand({ job, step, places, sync, rule, onOpen }: HeadProps) {
  return (
    <button type="button" class="head" onClick={onOpen} aria-haspopup="dialog">
      <span class="head-row">
        <span class="head-job">
          <span class="head-name">{job}</span>
          {step !== null && <span> · {step}</span>}
        </span>
        <span class="head-place">
          <PlacePlates place={placeOf(places)} />
          <span>{sync ?? placeWords(places)}</span>
        </span>
      </span>
      <Rule {...rule} />
      <span class="unseen">{t(words.openOrder)}</span>
    </button>
  )
}
