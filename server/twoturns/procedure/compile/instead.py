"""
Makers' words in place of house rules: a source's `instead`, checked.

A rule can be adapted, never switched off. What takes its place speaks of all that the rule spoke
of, asks for something that can fail here, and says whose word it is and where that stands. Some
rules are nobody's to adapt (`adaptable: no` in `rules/*.yaml`).
"""

from __future__ import annotations

from collections.abc import Sequence

from twoturns.procedure.language.names import Condition, Names
from twoturns.procedure.language.source import Path, Source
from twoturns.procedure.rules.house import Rule, in_place_of
from twoturns.words import t
from twoturns.words.en.procedure.compile import instead as words


def taken_otherwise(names: Names, data: Source, house: Sequence[Rule]) -> list[Rule]:
    """Return the house rules, each with what the source puts in its place."""
    by_id = {rule.id: rule for rule in house}
    for rule_id in data["instead"]:
        if rule_id not in by_id:
            names.unknown(("instead", rule_id), t(words.HOUSE_RULE), rule_id, by_id)
        elif not by_id[rule_id].adaptable:
            names.refuse(
                ("instead", rule_id),
                t(words.RULE_FIXED, rule_id=rule_id, never=by_id[rule_id].never),
                t(words.RULE_FIXED_HINT),
                "rule-fixed",
            )
    return [_taken(names, data["instead"], rule) for rule in house]


def _taken(names: Names, written: dict[str, Source], rule: Rule) -> Rule:
    if rule.id not in written or not rule.adaptable:
        return rule
    held = in_place_of(rule, written[rule.id])
    path: Path = ("instead", rule.id)
    for number, deed in enumerate(written[rule.id]["doing"]):
        if "=" in deed:
            names.move((*path, "doing", number), deed)
    for word, values in held.unless:
        _check_can_fail(names, (*path, "unless", word), word, values)
    return held


def _check_can_fail(names: Names, path: Path, word: str, values: Sequence[str]) -> None:
    """What every state fulfils would be the rule switched off under another name."""
    condition = names.condition(path, word)
    if condition is None:
        return
    if names.mask(path, condition, values) == names.conditions[condition].every:
        names.refuse(path, t(words.ASKS_NOTHING, word=word), t(words.ASKS_NOTHING_HINT), "no-rule")


def holds(names: Names, rule: Rule) -> list[str]:
    """Return what a rule asks for, a sentence for each condition, of the conditions' own words."""
    return list(_asked(names, rule.unless).values())


def gone(names: Names, rule: Rule, of: Rule) -> list[str]:
    """Return what the house rule `of` asks for here, and `rule` in its place does not, or wider."""
    held = dict(rule.unless)
    return [
        said
        for word, said in _asked(names, of.unless).items()
        if word not in held or not {*held[word]} <= {*dict(of.unless)[word]}
    ]


def _asked(names: Names, unless: Sequence[tuple[str, tuple[str, ...]]]) -> dict[str, str]:
    conditions = {each.id: each for each in names.conditions}
    return {word: _said(conditions[word], values) for word, values in unless if word in conditions}


def _said(condition: Condition, values: Sequence[str]) -> str:
    said = zip(condition.values, condition.says, strict=True)
    # Of values that a procedure does not know nothing can be said but their names.
    known = [says for value, says in said if value in values]
    return t(words.OR).join(known or values)


def steps_under(rules: Sequence[Rule], does: Sequence[str]) -> list[str]:
    """Return the rules with a maker's word that a step's deeds come under."""
    return [rule.id for rule in rules if rule.instead and not {*rule.doing}.isdisjoint(does)]


def check_needed(names: Names, rules: Sequence[Rule], done: set[str]) -> None:
    """A maker's word about what this procedure never does would stand at no step."""
    for rule in rules:
        if rule.instead and done.isdisjoint(rule.doing):
            names.refuse(
                ("instead", rule.id),
                t(words.NO_OCCASION, rule_id=rule.id),
                t(words.NO_OCCASION_HINT),
                "instead-needless",
            )
