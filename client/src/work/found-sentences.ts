/** What was found and is not put right, as sentences of what must be looked at. Pure. */
import { type FoundNow, foundIn } from './found'
import { agreedSince } from './agreed-since'
import { offerWords, placeWords, stateWords } from './found-words'
import { capital } from './letters'
import type { JobRecord } from './record'
import type { Sentence } from './sentences'
import * as words from '../words/en/work/found-sentences'
import { t } from '../words/message'

/** Refused, too: nobody should read of an oil leak that nothing asks for eyes. */
const isToSee = ({ state }: FoundNow): boolean => state !== 'done' && state !== 'dropped'

export function foundSentences({ held, bundle }: Pick<JobRecord, 'held' | 'bundle'>): Sentence[] {
  const { found, offers } = foundIn(held, bundle)
  const indexOf = (id: string | undefined): number | null => {
    const at = bundle.steps.findIndex((step) => step.id === id)
    return at < 0 ? null : at
  }
  const sentence = (step: string | undefined, fact: string, because: string): Sentence => ({
    step: indexOf(step),
    code: 'finding',
    fact,
    because,
    short: fact,
  })
  return [
    ...offers.map((offer) => sentence(offer.step.id, capital(offerWords(offer)), t(words.notNoted))),
    ...(agreedSince({ held, bundle })?.found ?? []).map((one) =>
      sentence(one.step?.id, factOf(one), t(words.agreedSince)),
    ),
    ...found.filter(isToSee).map((one) => sentence(one.step?.id, factOf(one), stateWords(one))),
  ]
}

const factOf = (found: FoundNow): string =>
  t(words.found, {
    place: placeWords(found),
    isOffered: found.offered !== null,
    offered: found.offered ?? '',
  })
