"""
Makers' words in place of house rules, in a proof: a note for each, with what is no longer asked
for, and a finding where the house rule would have held all the same, or where the word could never
stop anybody.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from twoturns.procedure import shape
from twoturns.procedure.compile.flatten import Replaced
from twoturns.procedure.prove.finding import Finding
from twoturns.procedure.prove.packed import Packed, Pair
from twoturns.procedure.prove.phrases import Words, listed
from twoturns.procedure.prove.walk import Walk
from twoturns.procedure.rules.house import Rule
from twoturns.words import t
from twoturns.words.en.procedure.prove import instead as texts


def needless(
    rules: Sequence[Rule], replaced: Replaced, packed: Packed, walk: Walk, words: Words
) -> Iterator[Finding]:
    """A maker's word left over from before: no state that can be reached breaks the house rule."""
    for rule in rules if walk.is_whole else ():
        if rule.instead is None:
            continue
        asked = {at: packed.outside(guard) for at, guard in replaced.get(rule.id, {}).items()}
        if not any(_breaks(packed, state, asked) for state in walk.states):
            yield Finding(
                "instead-needless",
                t(texts.HOUSE_RULE_HOLDS, rule=rule.id),
                t(texts.HOUSE_RULE_HOLDS_HINT),
                rule=rule.id,
                place=words.place("instead", rule.id),
            )


def _breaks(packed: Packed, state: int, asked: dict[int, int]) -> bool:
    return any(state & outside and packed.is_open(state, at) for at, outside in asked.items())


def toothless(
    rules: Sequence[Rule],
    replaced: Replaced,
    packed: Packed,
    walk: Walk,
    straight: Sequence[tuple[int, int, int]],
    words: Words,
) -> Iterator[Finding]:
    """
    A maker's word that switches its rule off: a step goes against the house rule, and in no state
    that is reached is the word broken along with it, whatever the step needs and whenever its turn
    comes. Where the straight job goes against the house rule, only states count in which the step
    is still to do: what falls later has never stopped it.
    """
    before = {at: state for at, state, _ in straight}
    for number, rule in enumerate(rules if walk.is_whole else ()):
        for at, house in replaced.get(rule.id, {}).items():
            guard = _guard(packed, at, number)
            # What the step itself brings about, before it comes under the rule, is no longer asked.
            if len(guard) < len(rule.unless):
                continue
            against = packed.outside(house)
            broken = [state for state in walk.states if state & against]
            is_needed = any(packed.is_open(state, at) for state in broken)
            if before.get(at, 0) & against:
                broken = [state for state in broken if packed.is_to_do(state, at)]
            if is_needed and not _can_stop(packed, at, guard, broken):
                yield Finding(
                    "instead-toothless",
                    t(texts.NEVER_STOPS, rule=rule.id, step=words.step(at)),
                    t(texts.NEVER_STOPS_HINT),
                    rule=rule.id,
                    place=words.place("instead", rule.id),
                )


def _guard(packed: Packed, at: int, number: int) -> Sequence[Pair]:
    asked = {each["rule"]: each["guard"] for each in packed.steps[at]["rules"]}
    return asked.get(number, [])


def _can_stop(packed: Packed, at: int, guard: Sequence[Pair], states: Sequence[int]) -> bool:
    # What the step brings about does not stop it: where it is so already, there is nothing to do.
    asked = packed.outside(guard) & ~packed.doings[at].done.sets
    illegal = packed.outside(packed.steps[at]["moves"])
    return any(state & asked and not state & illegal for state in states)


def makers_words(rules: Sequence[shape.Rule], words: Words) -> Iterator[Finding]:
    """Say of each rule that is taken otherwise what holds, by whose word, and what falls away."""
    for rule in rules:
        if "instead" not in rule:
            continue
        word, cited = rule["instead"], rule["instead"]["source"]
        yield Finding(
            "instead",
            t(
                texts.TAKEN_OTHERWISE,
                rule=rule["id"],
                whose=word.get("whose", "maker"),
                says=word["says"],
                never=rule["never"],
            ),
            t(
                texts.SOURCE_AND_LOSS,
                document=cited["document"],
                edition=cited["edition"],
                page=cited["page"],
                date=cited["date"],
                holds=listed(word["holds"]),
                gone=listed(word["gone"] or [t(texts.NOTHING_GONE)]),
            ),
            rule=rule["id"],
            place=words.place("instead", rule["id"]),
        )
