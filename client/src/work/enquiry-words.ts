/** The questions of a call in words, and what may be said to each. */
import type { Ask } from '../trade/triage'
import type { Stage } from './enquiry-stages'
import * as words from '../words/en/work/enquiry-words'
import { t } from '../words/message'

/** What each answer says under each question. */
export const ANSWER_WORDS: Record<string, string> = {
  yes: t(words.yes),
  no: t(words.no),
  unknown: t(words.notKnown),
  timing: t(words.timingBelt),
  auxiliary: t(words.auxiliaryBelt),
  workshop: t(words.inTheWorkshop),
  home: t(words.atHome),
  car_park: t(words.carPark),
  road_side: t(words.roadSide),
  fast_road: t(words.fastRoad),
}
export type Question = Extract<Stage, Ask>
export const ASK_WORDS: Record<Question, string> = {
  runs: t(words.doesItRun),
  stopped: t(words.didItStop),
  cranked: t(words.wasItCranked),
  belt: t(words.whichBelt),
  hybrid: t(words.isItHybrid),
  stands: t(words.whereDoesItStand),
}

/** What a place may be like. */
export const PLACE_WORDS = [
  ['traffic', t(words.trafficPasses)],
  ['slope', t(words.slopeOrSoft)],
  ['dark', t(words.noLight)],
] as const

/** Percent of the interval that is left, how it is used, and what that takes off. */
export const SEVERE_WORDS = [
  [100, t(words.normalUse), ''],
  [75, t(words.hardUse), t(words.threeQuarters)],
  [50, t(words.veryHardUse), t(words.half)],
] as const
