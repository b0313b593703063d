/** The questions of a call in words, and what may be said to each. */
import type { Ask } from '../trade/triage'
import type { Stage } from './enquiry-stages'
import * as words from '../words/en/work/enquiry-words'
import { t, wordsOf } from '../words/message'

/** What each answer says under each question. */
export const ANSWER_WORDS: Record<string, string> = wordsOf(words.answers)
export type Question = Extract<Stage, Ask>
export const ASK_WORDS: Record<Question, string> = wordsOf(words.asks)

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
