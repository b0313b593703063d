"""
A procedure proved as its workshop takes it: the workshop's word where the order needs one.

A workshop states once what it takes otherwise; a procedure that keeps the house rule all the same
carries none of it. So what is broken without the workshop's words tells which of them are taken.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol, TypeVar

from twoturns.procedure.compile.compiler import Compiled
from twoturns.procedure.compile.instead import WordsOfWorkshop
from twoturns.procedure.prove.prove import Proof, prove_compiled


class _Made(Protocol):
    @property
    def compiled(self) -> Compiled: ...


Made = TypeVar("Made", bound=_Made)


def prove_adapted(
    made_with: Callable[[WordsOfWorkshop], Made],
    workshop: WordsOfWorkshop,
    tell: Callable[[int], None] | None = None,
) -> tuple[Made, Proof]:
    """
    Compile and prove, with those words of a workshop that the order needs.

    Args:
        made_with: Compiles with some words of the workshop.
        workshop: All of them, by house rule.
        tell: As `prove` has it.

    Returns:
        What was made, and its proof.
    """
    made = made_with({})
    proof = prove_compiled(made.compiled, tell)
    broken = {found.rule for found in proof.findings if found.code == "rule-broken"}
    needed = {rule: word for rule, word in workshop.items() if rule in broken}
    if not needed:
        return made, proof
    adapted = made_with(needed)
    return adapted, prove_compiled(adapted.compiled, tell)
