"""
What is another between two editions of a procedure: sentences, the gravest kinds first.

`twoturns procedure diff` prints them, and the owner's page shows them before one is published.
Nothing that differs goes untold: where no part that people read does, that is said.
"""

from __future__ import annotations

from typing import get_args

from twoturns.procedure import shape
from twoturns.procedure.compare import whole
from twoturns.procedure.compare.change import Change, Kind
from twoturns.procedure.compare.machines import Reading
from twoturns.procedure.compare.steps import steps
from twoturns.words import t
from twoturns.words.en.procedure.compare import editions as words

KINDS: tuple[Kind, ...] = get_args(Kind)


def compare(before: shape.Bundle, after: shape.Bundle) -> list[Change]:
    """
    Return what is another in a bundle than in one before it.

    Args:
        before: A compiled bundle, as `check_bundle` or `load` returns it.
        after: The later one.

    Returns:
        Changes, sorted by kind in the order of `KINDS`, in a kind by the later one's steps. Empty
        only where both say and ask the same, whatever their edition.
    """
    old, new = Reading(before), Reading(after)
    found = [
        *steps(old, new),
        *whole.rules(before, after),
        *whole.equipment(before, after),
        *whole.ends(old, new),
        *whole.drive(before, after),
        *whole.head(before, after),
    ]
    if not found and {**before, "edition": 0} != {**after, "edition": 0}:
        found.append(Change("order", t(words.NOTHING_READ)))
    return sorted(found, key=lambda change: KINDS.index(change.kind))


def kind_words(kind: Kind) -> str:
    """Return the heading under which changes of a kind stand."""
    return t(words.KIND[kind])
