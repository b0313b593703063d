"""
House rules: never do this while that, because. They are data, in `rules/*.yaml`.

A rule speaks of conditions and actions by name, so one set serves every engine. Where a procedure
has no such condition, that part of the rule cannot be asked and is dropped; a rule of which
nothing can be asked is silent. Both are reported: a silent rule looks just like a kept one. What
is done and cannot be asked, the source must call `absent`, with a reason.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from importlib import resources
from typing import Literal

from twoturns.procedure.language import schema, source
from twoturns.procedure.language.source import Source
from twoturns.words import t
from twoturns.words.en.procedure.rules import house as words

Whose = Literal["maker", "workshop"]


@dataclass(frozen=True)
class Cited:
    """A maker's document, and where in it; `date` is that of the edition, YYYY-MM-DD."""

    document: str
    edition: str
    page: str
    date: str


@dataclass(frozen=True)
class Instead:
    """
    A word that holds in place of a house rule: what it asks for, why, and its source. `whose`: a
    maker's, of a procedure's source; or the workshop's, for whichever procedure needs it.
    """

    of: Rule
    says: str
    why: str
    source: Cited
    whose: Whose = "maker"


#: The lock of a camshaft, as the rules call it.
CAM_LOCK = "cam_lock"


@dataclass(frozen=True)
class Rule:
    """
    Never be `doing` one of these (actions or moves) unless all of `unless` hold, because.

    `source` is that of a house rule, or that it has none. One that is not `adaptable` holds
    whatever a maker asks for. `instead`: whose place this rule has taken.
    """

    id: str
    kind: str
    never: str
    doing: tuple[str, ...]
    unless: tuple[tuple[str, tuple[str, ...]], ...]
    because: str
    source: str = ""
    adaptable: bool = True
    instead: Instead | None = None


@dataclass(frozen=True)
class SilentRule:
    """
    A rule of which a part, or all, cannot be asked of a procedure, and what is absent.

    `unasked`: those of the absent that the procedure gives occasion to ask for, because it does
    what the rule forbids, or because it names the condition and not the value.
    `unless`: the rule's own.
    """

    rule: str
    wholly: bool
    absent: tuple[str, ...]
    unasked: tuple[str, ...] = ()
    unless: tuple[tuple[str, tuple[str, ...]], ...] = field(default=(), compare=False)


def rules_of(written: dict[str, Source]) -> list[Rule]:
    """Return the rules of a source's `rules`, as the schema loaded it."""
    return [_rule(rule_id, parts) for rule_id, parts in written.items()]


def in_place_of(rule: Rule, written: Source, whose: Whose = "maker") -> Rule:
    """
    Return what an `instead` puts in a house rule's place, as its schema loaded it.

    It keeps name, kind and all that the rule speaks of: adapted it may be, never switched off.
    """
    word = Instead(rule, written["says"], written["why"], Cited(**written["source"]), whose)
    doing = tuple(dict.fromkeys([*rule.doing, *written["doing"]]))
    held = _rule(rule.id, {**written, "kind": rule.kind, "doing": doing, "source": ""})
    return replace(held, instead=word)


def _rule(rule_id: str, parts: Source) -> Rule:
    return Rule(
        id=rule_id,
        kind=parts["kind"],
        never=parts["never"],
        doing=tuple(parts["doing"]),
        unless=tuple((condition, tuple(values)) for condition, values in parts["unless"].items()),
        because=parts["because"],
        source=parts.get("source", ""),
        adaptable=parts.get("adaptable", True),
    )


@cache
def house_rules() -> tuple[Rule, ...]:
    """Return the house rules, in the order of their files' names and of their lines."""
    found: dict[str, Rule] = {}
    folder = resources.files("twoturns.procedure.rules")
    for file in sorted(folder.iterdir(), key=lambda each: each.name):
        if not file.name.endswith(".yaml"):
            continue
        document = source.read(file.read_bytes())
        for rule in rules_of(schema.load(document, schema.RulesSchema())["rules"]):
            if rule.id in found:
                raise ValueError(t(words.RULE_IN_TWO_FILES, rule_id=rule.id))
            found[rule.id] = rule
    return tuple(found.values())


def actions_in(rules: Iterable[Rule]) -> set[str]:
    """Return every action that a rule speaks of."""
    return {deed for rule in rules for deed in rule.doing if "=" not in deed}


def of_every_camshaft(rule: Rule, further: Sequence[str]) -> Rule:
    """
    Return a rule that says of further locks what it says of the camshaft's.

    An engine may lock more shafts than the rules have names for: a second camshaft is one.

    Args:
        rule: A house rule.
        further: The conditions of the locks that no house rule names.
    """
    doing = [
        each
        for deed in rule.doing
        for each in (deed, *_said_of(further, deed.partition("=")[0], f"={deed.partition('=')[2]}"))
    ]
    unless = [
        (each, values)
        for condition, values in rule.unless
        for each in (condition, *_said_of(further, condition))
    ]
    return replace(rule, doing=tuple(doing), unless=tuple(unless))


def _said_of(further: Sequence[str], condition: str, what: str = "") -> list[str]:
    return [lock + what for lock in further] if condition == CAM_LOCK else []


def silence(
    rule: Rule, deeds: set[str], moves: set[str], conditions: set[str]
) -> SilentRule | None:
    """
    Say which parts of a rule a procedure gives no occasion for.

    Args:
        rule: The rule.
        deeds: The actions that the procedure's steps do.
        moves: Every `condition=value` that the procedure has.
        conditions: The procedure's conditions.
    """
    no_deed = [deed for deed in rule.doing if deed not in (moves if "=" in deed else deeds)]
    no_condition = [condition for condition, _ in rule.unless if condition not in conditions]
    if not no_deed and not no_condition:
        return None
    nothing_asked = bool(rule.unless) and len(no_condition) == len(rule.unless)
    never_done = len(no_deed) == len(rule.doing)
    unasked = [deed for deed in no_deed if "=" in deed and deed.partition("=")[0] in conditions]
    unasked += [] if never_done else no_condition
    return SilentRule(
        rule.id,
        nothing_asked or never_done,
        tuple(no_deed + no_condition),
        tuple(unasked),
        rule.unless,
    )
