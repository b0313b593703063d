"""
What must hold in every state: no house rule broken, no move without its ground, nothing left loose.
"""

from __future__ import annotations

from collections.abc import Iterator

from twoturns.procedure.prove.balance import TIGHT
from twoturns.procedure.prove.covers import part_moved
from twoturns.procedure.prove.explored import Explored
from twoturns.procedure.prove.finding import Finding
from twoturns.procedure.prove.walk import Deed
from twoturns.words import t
from twoturns.words.en.procedure.prove import safe as texts


def rules_proven(explored: Explored) -> tuple[str, ...]:
    """Return the ids of the house rules that cannot be broken; none if the walk was given up."""
    if not explored.walk.is_whole:
        return ()
    broken = {rule for _, rule in explored.walk.broken}
    return tuple(
        str(rule["id"]) for at, rule in enumerate(explored.bundle["rules"]) if at not in broken
    )


def broken_rules(explored: Explored) -> Iterator[Finding]:
    """Tell each step that can be done where a house rule, or the metal, forbids it."""
    for (at, rule), state in explored.walk.broken.items():
        yield rule_broken(explored, at, rule, state)


def rule_broken(explored: Explored, at: int, rule: int, state: int) -> Finding:
    """Tell that a step breaks a rule in a state; beyond the rules stand the covers, by number."""
    covers = rule - len(explored.bundle["rules"])
    if covers >= 0:
        front = explored.packed.value(state, explored.covers[covers].front)
        message, hint = part_moved(explored.words, explored.covers[covers], front, at)
        then = Deed(at, explored.packed.done(state, at))
        return explored.told("moved-behind", message, hint, step=at, to=state, then=then)
    asked = next(each for each in explored.steps[at]["rules"] if each["rule"] == rule)
    wrong = explored.words.is_outside(explored.packed, state, asked["guard"])
    return explored.told(
        "rule-broken",
        t(texts.BREAKS_RULE, step=explored.words.step(at), rule=explored.words.rule(rule)),
        t(
            texts.BREAKS_RULE_HINT,
            wrong=wrong,
            because=explored.bundle["rules"][rule]["because"],
        ),
        step=at,
        rule=rule,
        to=state,
        then=Deed(at, explored.packed.done(state, at)),
    )


def illegal_moves(explored: Explored) -> Iterator[Finding]:
    """Tell each step that has all it asks for where its moves are not legal."""
    for at, state in explored.walk.blocked.items():
        wrong = explored.words.is_outside(explored.packed, state, explored.steps[at]["moves"])
        yield explored.told(
            "illegal-move",
            t(texts.MOVE_ILLEGAL, step=explored.words.step(at), wrong=wrong),
            t(texts.MOVE_ILLEGAL_HINT),
            step=at,
            to=state,
        )


def left_loose(explored: Explored) -> Iterator[Finding]:
    """A fastener that was loosened and is not tight where the job may end."""
    whole = [at for at, end in enumerate(explored.packed.machine["ends"]) if end["all_must"]]
    ended = [explored.walk.states[at] for at in explored.walk.ended(whole)]
    for c, condition in enumerate(explored.packed.machine["conditions"]):
        values = range(len(condition["values"]))
        tight = [v for v in values if _is_tight(explored, c, v)]
        loose = explored.packed.outside([(c, sum(1 << v for v in {*tight, condition["start"]}))])
        if not tight:
            continue
        for state in ended:
            if state & loose:
                yield explored.told(
                    "left-loose",
                    t(
                        texts.ENDS_LOOSE,
                        words_value=explored.words.value(c, explored.packed.value(state, c)),
                    ),
                    t(texts.ENDS_LOOSE_HINT),
                    to=state,
                )
                break


def _is_tight(explored: Explored, condition: int, value: int) -> bool:
    found = explored.packed.machine["conditions"][condition]
    return not found["proof"] and found["values"][value] in TIGHT
