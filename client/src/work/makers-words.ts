/** Makers' words in place of house rules, as a bundle has them: at which steps each stands. Pure. */
import type { Bundle, Instead, Rule, Step } from '../procedure/shape'

/** A rule that holds by a maker's word, in the place of a house rule. */
export type RuleByWord = Rule & { instead: Instead }

const isByWord = (rule: Rule): rule is RuleByWord => rule.instead !== undefined

/** What a step comes under otherwise than the house has it. */
export const wordsAtStep = (bundle: Bundle, step: Step): readonly RuleByWord[] =>
  bundle.rules.filter(isByWord).filter(({ id }) => step.instead?.includes(id))

/** Every maker's word of a bundle, with the steps that it is shown at. */
export const wordsOf = (bundle: Bundle): readonly { rule: RuleByWord; steps: readonly Step[] }[] =>
  bundle.rules
    .filter(isByWord)
    .map((rule) => ({ rule, steps: bundle.steps.filter(({ instead }) => instead?.includes(rule.id)) }))
