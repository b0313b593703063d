/** How far a finding has come, in words. Pure. */
import type { ExtraNow, FoundNow, OfferNow } from './found'
import * as words from '../words/en/work/found-words'
import { t } from '../words/message'

const isWay = (how: string): how is keyof typeof words.ways => how in words.ways

/** How the customer's word came. */
export const wayWords = (how: string): string => (isWay(how) ? t(words.ways[how]) : how)

const numberOf = ({ number, title }: { number: string; title: string }): string => number || `'${title}'`

/** Where it was seen. */
export const placeWords = ({ step }: Pick<FoundNow, 'step'>): string =>
  step === null ? t(words.found) : t(words.foundAt, { number: numberOf(step) })

export const offerWords = ({ step, says }: OfferNow): string =>
  t(words.offered, { number: numberOf(step), says })

/** What has come of it, and what it asks for next. */
export function stateWords({ state, answers, extras }: FoundNow): string {
  const how = wayWords(answers.at(-1)?.body.how ?? '')
  const left = extras.filter((each) => each.state === 'agreed').length
  switch (state) {
    case 'asked':
      return answers.length > 0 ? t(words.moreToAsk) : t(words.toBeAsked)
    case 'agreed':
      return t(words.agreed, { how, left })
    case 'refused':
      return t(words.refused, { how })
    case 'unsure':
      return t(words.unsure)
    case 'done':
      return t(words.done)
    case 'dropped':
      return t(words.dropped)
  }
}

/** How far an extra is, with its part and time. */
export const extraWords = ({ state, part, minutes }: ExtraNow): string =>
  t(words.extra, {
    state: t(words.extraStates[state]),
    hasPart: part !== null,
    part: part ?? '',
    isTimed: minutes !== null,
    minutes: minutes ?? 0,
  })
