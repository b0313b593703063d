"""
Prove a bundle: go everywhere one phone can go, and look.

The walk takes every open step, every failure, every way back at any time, and every `ask` passed
that needs leave open. From the straight job every step is also begun, left and looked at. The house
rules do not guide it: needs, listed order and legal moves must keep them by themselves, so that a
phone which forgot the rules would still be safe. A *finding* is a fault of the
procedure. A *note* is no fault, and the author should know it.

What two phones at once can do is `fold`'s to survive; this walk has one. Reopening and interrupting
are not walked from every state, but from those of the straight job: on the van a reopening of each
step in each state is a million states more. `once` notes where in the straight order a reopening no
longer leads to an end.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from twoturns.procedure import shape
from twoturns.procedure.blocks.compose import Taken
from twoturns.procedure.compile.compiler import Compiled
from twoturns.procedure.compile.flatten import Replaced
from twoturns.procedure.compile.metal import Metal, no_metal
from twoturns.procedure.language.former_words import FormerWord
from twoturns.procedure.language.source import Document
from twoturns.procedure.prove.balance import other_belts, unbalanced
from twoturns.procedure.prove.covers import hidden
from twoturns.procedure.prove.dead_ends import dead_ends, interrupted, unfinished
from twoturns.procedure.prove.explored import Explored
from twoturns.procedure.prove.finding import Finding
from twoturns.procedure.prove.former import written_formerly
from twoturns.procedure.prove.gaps import no_gaps
from twoturns.procedure.prove.instead import makers_words, needless, toothless
from twoturns.procedure.prove.lives import short_lived
from twoturns.procedure.prove.openings import never_open, once_steps, same_steps_again
from twoturns.procedure.prove.phrases import Words
from twoturns.procedure.prove.proofs import not_proving
from twoturns.procedure.prove.returns import not_returning
from twoturns.procedure.prove.safe import broken_rules, illegal_moves, left_loose, rules_proven
from twoturns.procedure.prove.silent import accepted, never_done, unasked
from twoturns.procedure.prove.stale import claims_outlived, stale_proofs
from twoturns.procedure.prove.straight import never_left, not_straight
from twoturns.procedure.prove.taken_blocks import withdrawn
from twoturns.procedure.prove.tools import left_by_nobody, not_on_board, slots_disagree
from twoturns.procedure.rules.house import Rule, SilentRule

# Above this the walk is given up and said so: twenty seconds and 340 MiB.
MOST_STATES = 1_000_000


@dataclass(frozen=True)
class Proof:
    """
    What the walk found. A bundle is proved when it has no findings.

    Args:
        states: How many states one phone can reach.
        transitions: In how many ways one leads to another.
        rules_proven: The house rules that are asked and cannot be broken.
        findings: Faults.
        notes: What is no fault.
    """

    states: int
    transitions: int
    rules_proven: tuple[str, ...]
    findings: tuple[Finding, ...]
    notes: tuple[Finding, ...]

    @property
    def is_proved(self) -> bool:
        """Whether nothing was found."""
        return not self.findings


def prove_compiled(compiled: Compiled, tell: Callable[[int], None] | None = None) -> Proof:
    """Prove what was just compiled: with the lines of its source, and what its author left out."""
    return prove(
        compiled.bundle,
        compiled.silent_rules,
        absent=compiled.absent,
        rules=compiled.rules,
        document=compiled.document,
        former_words=compiled.former_words,
        metal=compiled.metal,
        replaced=compiled.replaced,
        blocks=compiled.blocks,
        tell=tell,
    )


def prove(
    bundle: shape.Bundle,
    silent_rules: Sequence[SilentRule] = (),
    *,
    absent: Mapping[str, str] | None = None,
    rules: Sequence[Rule] = (),
    document: Document | None = None,
    former_words: Sequence[FormerWord] = (),
    metal: Metal | None = None,
    replaced: Replaced | None = None,
    blocks: Sequence[Taken] = (),
    most_states: int = MOST_STATES,
    tell: Callable[[int], None] | None = None,
) -> Proof:
    """
    Walk a bundle's machine and return everything found.

    Args:
        bundle: Compiled and checked.
        silent_rules: The rules that compiling could not ask wholly.
        absent: What the source calls absent, with its reasons.
        rules: The rules asked. What they ask for before a proof must hold as long as the proof.
        document: The source, for its lines.
        former_words: Words of the language that the source had and that are others now.
        metal: What the source says of the metal.
        replaced: What the house rules ask for in whose place a maker's word holds.
        blocks: Those that the source takes.
        most_states: Where the walk is given up, which is a finding too.
        tell: Called now and then with the number of states that were gone through.
    """
    words = Words(bundle, document)
    metal = metal or no_metal(len(bundle["steps"]))
    explored = Explored(bundle, words, metal, most_states, tell or (lambda states: None))
    findings = [
        *unfinished(explored),
        *broken_rules(explored),
        *illegal_moves(explored),
        *dead_ends(explored),
        *interrupted(explored),
        *same_steps_again(explored, in_trouble=True),
        *stale_proofs(explored),
        *claims_outlived(explored, rules),
        *never_open(explored),
        *withdrawn(blocks),
        *not_straight(explored.packed, words),
        *never_left(explored.packed, words),
        *not_returning(bundle, explored.packed, words, explored.straight),
        *slots_disagree(bundle, explored.packed, words, explored.straight, metal),
        *left_by_nobody(explored.packed, words, explored.walk, metal),
        *short_lived(bundle, explored.packed, words, explored.straight, metal),
        *not_on_board(bundle, words),
        *hidden(bundle, explored.packed, words, explored.straight, metal.covers),
        *not_proving(bundle, explored.packed, words, explored.straight),
        *left_loose(explored),
        *unbalanced(bundle, words),
        *unasked(silent_rules, absent or {}, words),
        *needless(rules, replaced or {}, explored.packed, explored.walk, words),
        *toothless(rules, replaced or {}, explored.packed, explored.walk, explored.straight, words),
    ]
    notes = [
        *once_steps(explored),
        *same_steps_again(explored, in_trouble=False),
        *other_belts(bundle),
        *accepted(silent_rules, absent or {}),
        *never_done(silent_rules),
        *no_gaps(bundle, explored.packed, words),
        *written_formerly(former_words),
        *makers_words(bundle["rules"], words),
    ]
    return Proof(
        len(explored.walk.states),
        explored.walk.transitions,
        rules_proven(explored),
        tuple(findings),
        tuple(notes),
    )
