"""
Words in place of house rules: a source's own `instead`, and the workshop's, checked.

A rule can be adapted, never switched off. What takes its place speaks of all that the rule spoke
of, asks for something that can fail here, and says whose word it is and where that stands. Some
rules are nobody's to adapt (`adaptable: no` in `rules/*.yaml`). A procedure's own word, a maker's,
comes before the workshop's; and of the workshop's only that is taken which has a meaning here: the
procedure does what it speaks of, and has the conditions that it asks for.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from twoturns.procedure.errors import SourceError, SourceErrors, nearest
from twoturns.procedure.language import schema, source
from twoturns.procedure.language.names import Condition, Names
from twoturns.procedure.language.source import Document, Path, Source
from twoturns.procedure.rules.house import Rule, house_rules, in_place_of
from twoturns.words import t
from twoturns.words.en.procedure.compile import instead as words
from twoturns.words.en.procedure.language import names as names_words

#: By house rule, what a workshop puts in its place, as `WorkshopSchema` loaded it.
WordsOfWorkshop = Mapping[str, Source]


def words_of_workshop(text: bytes) -> WordsOfWorkshop:
    """
    Return what a workshop takes otherwise, from YAML: `instead`, as in a procedure.

    Raises:
        SourceErrors: With every fault of the text.
    """
    document = source.read(text)
    written: WordsOfWorkshop = schema.load(document, schema.WorkshopSchema())["instead"]
    if problems := faults_of_words(document, written, house_rules()):
        raise SourceErrors(problems)
    return written


def taken_otherwise(
    names: Names, data: Source, house: Sequence[Rule], workshop: WordsOfWorkshop
) -> list[Rule]:
    """Return the house rules, each with what the source or the workshop puts in its place."""
    names.problems += faults_of_words(names.document, data["instead"], house)
    done = {deed for step in data["steps"] for deed in step["does"]}
    return [
        _workshops(names, workshop, rule, done)
        if rule.id not in data["instead"]
        else _taken(names, data["instead"], rule)
        for rule in house
    ]


def faults_of_words(
    document: Document, written: Iterable[str], house: Sequence[Rule]
) -> list[SourceError]:
    """Return a fault for each rule under `instead` that there is not, or that is not adaptable."""
    by_id = {rule.id: rule for rule in house}
    found = []
    for rule_id in written:
        path = ("instead", rule_id)
        if rule_id not in by_id:
            message = t(names_words.UNKNOWN_NAME, what=t(words.HOUSE_RULE), word=rule_id)
            hint, code = nearest(rule_id, by_id), "unknown"
        elif not by_id[rule_id].adaptable:
            message = t(words.RULE_FIXED, rule_id=rule_id, never=by_id[rule_id].never)
            hint, code = t(words.RULE_FIXED_HINT), "rule-fixed"
        else:
            continue
        found.append(document.error(path, message, hint=hint, code=code))
    return found


def _workshops(names: Names, workshop: WordsOfWorkshop, rule: Rule, done: set[str]) -> Rule:
    """A rule as the workshop takes it, where that has a meaning in this procedure."""
    if rule.id not in workshop:
        return rule
    held = in_place_of(rule, workshop[rule.id], "workshop")
    values = {each.id: set(each.values) for each in names.conditions}
    can_fail = all(word in values and values[word] - set(named) for word, named in held.unless)
    return held if can_fail and not done.isdisjoint(held.doing) else rule


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
        if rule.instead and rule.instead.whose == "maker" and done.isdisjoint(rule.doing):
            names.refuse(
                ("instead", rule.id),
                t(words.NO_OCCASION, rule_id=rule.id),
                t(words.NO_OCCASION_HINT),
                "instead-needless",
            )
