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

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from twoturns.procedure import shape
from twoturns.procedure.blocks.compose import Taken
from twoturns.procedure.compile.compiler import Compiled
from twoturns.procedure.compile.flatten import Replaced
from twoturns.procedure.compile.metal import Metal, no_metal
from twoturns.procedure.language.former_words import FormerWord
from twoturns.procedure.language.source import Document
from twoturns.procedure.prove.balance import TIGHT, other_belts, unbalanced
from twoturns.procedure.prove.covers import hidden, part_moved, with_covers
from twoturns.procedure.prove.finding import Finding
from twoturns.procedure.prove.former import written_formerly
from twoturns.procedure.prove.gaps import no_gaps
from twoturns.procedure.prove.instead import makers_words, needless, toothless
from twoturns.procedure.prove.interrupt import Interruptions
from twoturns.procedure.prove.lives import short_lived
from twoturns.procedure.prove.packed import Packed
from twoturns.procedure.prove.phrases import Words, listed
from twoturns.procedure.prove.proofs import not_proving
from twoturns.procedure.prove.returns import not_returning
from twoturns.procedure.prove.silent import accepted, never_done, unasked
from twoturns.procedure.prove.straight import never_left, not_straight, straight_run
from twoturns.procedure.prove.taken_blocks import withdrawn
from twoturns.procedure.prove.tools import left_by_nobody, not_on_board, slots_disagree
from twoturns.procedure.prove.walk import Deed, Walk, reaches, walk
from twoturns.procedure.rules.house import Rule, SilentRule
from twoturns.words import t
from twoturns.words.en.procedure.prove import prove as texts

# Above this the walk is given up and said so: half a minute and 360 MiB.
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
    prover = _Prover(bundle, words, metal, most_states, tell or (lambda states: None))
    findings = [
        *prover.unfinished(),
        *prover.broken_rules(),
        *prover.illegal_moves(),
        *prover.dead_ends(),
        *prover.interrupted(),
        *prover.same_steps_again(in_trouble=True),
        *prover.stale_proofs(),
        *prover.claims_outlived(rules),
        *prover.never_open(),
        *withdrawn(blocks),
        *not_straight(prover.packed, words),
        *never_left(prover.packed, words),
        *not_returning(bundle, prover.packed, words, prover.straight),
        *slots_disagree(bundle, prover.packed, words, prover.straight, metal),
        *left_by_nobody(prover.packed, words, prover.walk, metal),
        *short_lived(bundle, prover.packed, words, prover.straight, metal),
        *not_on_board(bundle, words),
        *hidden(bundle, prover.packed, words, prover.straight, metal.covers),
        *not_proving(bundle, prover.packed, words, prover.straight),
        *prover.left_loose(),
        *unbalanced(bundle, words),
        *unasked(silent_rules, absent or {}, words),
        *needless(rules, replaced or {}, prover.packed, prover.walk, words),
        *toothless(rules, replaced or {}, prover.packed, prover.walk, prover.straight, words),
    ]
    notes = [
        *prover.once_steps(),
        *prover.same_steps_again(in_trouble=False),
        *other_belts(bundle),
        *accepted(silent_rules, absent or {}),
        *never_done(silent_rules),
        *no_gaps(bundle, prover.packed, words),
        *written_formerly(former_words),
        *makers_words(bundle["rules"], words),
    ]
    return Proof(
        len(prover.walk.states),
        prover.walk.transitions,
        prover.rules_proven(),
        tuple(findings),
        tuple(notes),
    )


class _Prover:
    def __init__(
        self,
        bundle: shape.Bundle,
        words: Words,
        metal: Metal,
        most_states: int,
        tell: Callable[[int], None],
    ) -> None:
        self.bundle, self.words, self.covers = bundle, words, metal.covers
        self.packed = Packed(with_covers(bundle, metal))
        self.steps = self.packed.steps
        self.straight = straight_run(self.packed)
        asks = {at for at, rule in enumerate(bundle["rules"]) if rule["kind"] == "ask"}
        self.walk: Walk = walk(
            self.packed,
            most_states=most_states,
            asks=asks,
            half_done=self._half_done(),
            tell=tell,
        )
        self.right_ends = right_ends(self.packed)
        self.alive = self.walk.alive(self.right_ends) if self.walk.is_whole else bytearray()

    @cached_property
    def interruptions(self) -> Interruptions:
        before = [state for at, state, _ in self.straight if self.packed.is_open(state, at)]
        return Interruptions(self.walk, self.alive, self.right_ends, before)

    def _half_done(self) -> list[int]:
        """
        For each step the values that a failure may leave and the same step go on from: those of the
        straight job before it, and those that it brings itself.
        """
        before = {at: state & self.packed.engine for at, state, _ in self.straight}
        return [mask | before.get(at, 0) for at, mask in enumerate(self.packed.on_the_way)]

    def _is_tight(self, condition: int, value: int) -> bool:
        found = self.packed.machine["conditions"][condition]
        return not found["proof"] and found["values"][value] in TIGHT

    def _told(
        self,
        code: str,
        message: str,
        hint: str,
        *,
        step: int | None = None,
        rule: int | None = None,
        to: int | None = None,
        then: Deed | None = None,
    ) -> Finding:
        """A finding at a step or a rule, with a shortest way to a state, and one deed more."""
        if to is None:
            deeds = []
        elif to in self.walk.number:
            deeds = self.walk.way(to)
        else:
            deeds = self.interruptions.way(to)
        deeds += [] if then is None else [then]
        return Finding(
            code,
            message,
            hint,
            rule=None if rule is None else str(self.bundle["rules"][rule]["id"]),
            place=None if step is None else self.words.place("steps", step),
            way=tuple(self.words.name(deed) for deed in deeds),
            sequence=tuple(self.words.deed(self.packed, deed) for deed in deeds),
        )

    # Findings.

    def rules_proven(self) -> tuple[str, ...]:
        if not self.walk.is_whole:
            return ()
        broken = {rule for _, rule in self.walk.broken}
        return tuple(
            str(rule["id"]) for at, rule in enumerate(self.bundle["rules"]) if at not in broken
        )

    def unfinished(self) -> Iterator[Finding]:
        if not self.walk.is_whole:
            yield Finding(
                "too-many-states",
                t(texts.WALK_GIVEN_UP, states=f"{len(self.walk.states):,}"),
                t(texts.GIVEN_UP_HINT),
            )

    def broken_rules(self) -> Iterator[Finding]:
        for (at, rule), state in self.walk.broken.items():
            yield self._broken(at, rule, state)

    def _broken(self, at: int, rule: int, state: int) -> Finding:
        covers = rule - len(self.bundle["rules"])
        if covers >= 0:
            front = self.packed.value(state, self.covers[covers].front)
            message, hint = part_moved(self.words, self.covers[covers], front, at)
            then = Deed(at, self.packed.done(state, at))
            return self._told("moved-behind", message, hint, step=at, to=state, then=then)
        asked = next(each for each in self.steps[at]["rules"] if each["rule"] == rule)
        wrong = self.words.is_outside(self.packed, state, asked["guard"])
        return self._told(
            "rule-broken",
            t(texts.BREAKS_RULE, step=self.words.step(at), rule=self.words.rule(rule)),
            t(
                texts.BREAKS_RULE_HINT,
                wrong=wrong,
                because=self.bundle["rules"][rule]["because"],
            ),
            step=at,
            rule=rule,
            to=state,
            then=Deed(at, self.packed.done(state, at)),
        )

    def illegal_moves(self) -> Iterator[Finding]:
        for at, state in self.walk.blocked.items():
            wrong = self.words.is_outside(self.packed, state, self.steps[at]["moves"])
            yield self._told(
                "illegal-move",
                t(texts.MOVE_ILLEGAL, step=self.words.step(at), wrong=wrong),
                t(texts.MOVE_ILLEGAL_HINT),
                step=at,
                to=state,
            )

    def dead_ends(self) -> Iterator[Finding]:
        """States from which no right end is reached: the nearest, and how many there are."""
        if not self.walk.is_whole or all(self.alive):
            return
        dead = [state for at, state in enumerate(self.walk.states) if not self.alive[at]]
        yield self._dead_end(
            f"from {len(dead):,} of {len(self.walk.states):,} states no end is reached", dead
        )

    def interrupted(self) -> Iterator[Finding]:
        """What an interruption of the straight job leads to that the walk does not meet."""
        if not self.walk.is_whole:
            return
        if not self.interruptions.is_whole:
            yield Finding(
                "too-many-states",
                t(texts.INTERRUPTIONS_GIVEN_UP, states=f"{self.interruptions.states:,}"),
                t(texts.GIVEN_UP_HINT),
            )
        for (at, rule), state in self.interruptions.broken.items():
            if (at, rule) not in self.walk.broken:
                yield self._broken(at, rule, state)
        dead = self.interruptions.dead() if all(self.alive) else []
        if dead:
            yield self._dead_end(t(texts.DEAD_AFTER_INTERRUPTION, dead=f"{len(dead):,}"), dead)

    def _dead_end(self, says: str, dead: Sequence[int]) -> Finding:
        stuck = self._stuck(dead)
        return self._told(
            "dead-end",
            says,
            t(texts.DEAD_AFTER_INTERRUPTION_HINT, stuck_at=self._stuck_at(stuck)),
            step=self.packed.next_must(stuck),
            to=stuck,
        )

    def _stuck(self, dead: Sequence[int]) -> int:
        """
        Return the dead state that shows the fault: where nothing goes on, and least is left to do.

        A dead state may look lively for a while, and what is lacking shows where it is asked for.
        Of several it is the nearest.
        """
        halted = [each for each in dead if not self._goes_on(each)]
        return min(halted or dead, key=lambda state: self.packed.todo(state).bit_count())

    def _goes_on(self, state: int) -> bool:
        return any(self.steps[at]["must"] for at in self.packed.opened(state))

    def _stuck_at(self, state: int) -> str:
        at = self.packed.next_must(state)
        if at is None:
            asked = self.packed.machine["ends"][self.right_ends[0]]["conditions"]
            wrong = self.words.is_outside(self.packed, state, asked)
            return t(texts.DONE_WITHOUT_END, wrong=wrong)
        lacking = self.words.is_outside(
            self.packed, state, self.steps[at]["guard"] + self.steps[at]["moves"]
        )
        if not lacking:
            return t(texts.LEADS_NOWHERE, step=self.words.step(at))
        return t(texts.NEXT_LACKS, step=self.words.step(at), lacking=lacking)

    def stale_proofs(self) -> Iterator[Finding]:
        """A proof that holds while one on which it rests does not."""
        for proof, rests_on in self.packed.machine["rests"]:
            for on in rests_on:
                unproved = self.packed.bit(proof, 0)
                fallen = self.packed.bit(on, 0)
                state = next((s for s in self.walk.states if s & fallen and not s & unproved), None)
                if state is not None:
                    yield self._told(
                        "stale-proof",
                        t(
                            texts.PROOF_WITHOUT_GROUND,
                            proof=self.words.value(proof, self.packed.value(state, proof)),
                            on=self.words.value(on, 0),
                        ),
                        t(texts.COMPILED_ELSEWHERE),
                        to=state,
                    )

    def claims_outlived(self, rules: Sequence[Rule]) -> Iterator[Finding]:
        """
        A proof that holds while something no longer does that a house rule asked for before it.

        What the straight job itself moves on from (the nut by hand, when the tension is set) is no
        longer asked for.
        """
        told: set[tuple[int, int]] = set()
        for rule, proof, value, c, mask in self._claims(rules):
            claimed, lost = self.packed.bit(proof, value), self.packed.outside([(c, mask)])
            kept = all(not after & lost for _, _, after in self.straight if after & claimed)
            if not kept or (proof, c) in told:
                continue
            state = next((s for s in self.walk.states if s & claimed and s & lost), None)
            if state is None:
                continue
            told.add((proof, c))
            at = next(i for i, each in enumerate(self.bundle["rules"]) if each["id"] == rule.id)
            now = self.packed.value(state, c)
            name, said = self.packed.machine["conditions"][c], self.words.value(proof, value)
            undone = f"{name['id']}={name['values'][now]}"
            yield self._told(
                "stale-proof",
                t(texts.STILL_PROVED, said=said, words_value=self.words.value(c, now)),
                t(texts.STILL_PROVED_HINT, undone=undone),
                rule=at,
                to=state,
            )

    def _claims(self, rules: Sequence[Rule]) -> Iterator[tuple[Rule, int, int, int, int]]:
        """Each rule that speaks of a proof: the proof, its value, a condition and its mask."""
        conditions = self.packed.machine["conditions"]
        index = {each["id"]: at for at, each in enumerate(conditions)}
        for rule in rules:
            for deed in rule.doing:
                word, _, value_word = deed.partition("=")
                proof = index.get(word)
                if proof is None or not conditions[proof]["proof"]:
                    continue
                values = conditions[proof]["values"]
                for asked, allowed in rule.unless:
                    c = index.get(asked)
                    if c is not None and value_word in values:
                        known = conditions[c]["values"]
                        mask = sum(1 << at for at, each in enumerate(known) if each in allowed)
                        yield rule, proof, values.index(value_word), c, mask

    def never_open(self) -> Iterator[Finding]:
        if not self.walk.is_whole:
            return
        for at in range(len(self.steps)):
            if at not in self.walk.opened:
                yield self._told(
                    "never-open",
                    t(texts.NEVER_OPEN, step=self.words.step(at)),
                    t(texts.NEVER_OPEN_HINT),
                    step=at,
                )

    def left_loose(self) -> Iterator[Finding]:
        """A fastener that was loosened and is not tight where the job may end."""
        whole = [at for at, end in enumerate(self.packed.machine["ends"]) if end["all_must"]]
        ended = [self.walk.states[at] for at in self.walk.ended(whole)]
        for c, condition in enumerate(self.packed.machine["conditions"]):
            values = range(len(condition["values"]))
            tight = [v for v in values if self._is_tight(c, v)]
            loose = self.packed.outside([(c, sum(1 << v for v in {*tight, condition["start"]}))])
            if not tight:
                continue
            for state in ended:
                if state & loose:
                    yield self._told(
                        "left-loose",
                        t(
                            texts.ENDS_LOOSE,
                            words_value=self.words.value(c, self.packed.value(state, c)),
                        ),
                        t(texts.ENDS_LOOSE_HINT),
                        to=state,
                    )
                    break

    # Notes, and what is either.

    def same_steps_again(self, *, in_trouble: bool) -> Iterator[Finding]:
        """Failures after which the same step comes again: a fault if the engine has changed."""
        for (at, number), (before, after) in sorted(self.walk.again.items()):
            if self.walk.is_trouble(before, after, at) != in_trouble:
                continue
            seen = self.bundle["steps"][at]["fails"][number]["says"].removesuffix(".")
            new = f" ({seen}), though {self._new(before, after, at)}" if in_trouble else f": {seen}"
            yield self._told(
                "same-again",
                t(texts.REPEATS_FAILED, step=self.words.step(at), new=new),
                t(texts.REPEATS_FAILED_HINT) if in_trouble else t(texts.REPEATS_FAILED_NOTE),
                step=at,
                to=before,
                then=Deed(at, after, number),
            )

    def _new(self, before: int, after: int, at: int) -> str:
        """How the engine is where a failure left it as nothing before did."""
        new = after & ~before & self.packed.engine & ~self.walk.half_done[at]
        conditions = self.packed.machine["conditions"]
        return listed(
            self.words.value(c, v)
            for c, condition in enumerate(conditions)
            for v in range(len(condition["values"]))
            if new & self.packed.bit(c, v)
        )

    def once_steps(self) -> Iterator[Finding]:
        """Steps that can no longer be done again after a certain place in the straight order."""
        if not self.walk.is_whole or not self.alive[0]:
            return
        done, told = list[int](), set[int]()
        for here, _, state in self.straight:
            done.append(here)
            for at in done:
                if at in told or reaches(self.packed, self.packed.reopened(state, at), self._lives):
                    continue
                told.add(at)
                yield self._told(
                    "once",
                    t(
                        texts.NOT_REPEATABLE,
                        step=self.words.step(at),
                        after=self.words.step(here),
                    ),
                    t(texts.MARKED_ONCE)
                    if self.bundle["steps"][at]["once"]
                    else t(texts.MARK_ONCE_HINT),
                    step=at,
                )

    def _lives(self, state: int) -> bool:
        at = self.walk.number.get(state)
        return at is not None and bool(self.alive[at])


def right_ends(packed: Packed) -> list[int]:
    """
    The ends that a job may be steered to: all must-steps done, or what only a failure finds out.

    *Stopped* is always possible in some state; if it counted, no dead end would show. But an end
    that asks for a value which nothing leaves except a failure ("recover, do not crank") is the
    right one there. Where no end is right by this, all are.
    """
    machine = packed.machine
    left = {(c, condition["start"]) for c, condition in enumerate(machine["conditions"])}
    left |= {(c, v) for step in machine["steps"] for c, v in step["effect"]}
    found = [
        at
        for at, end in enumerate(machine["ends"])
        if end["all_must"] or any(_is_verdict(c, mask, left) for c, mask in end["conditions"])
    ]
    return found or list(range(len(machine["ends"])))


def _is_verdict(condition: int, mask: int, left: set[tuple[int, int]]) -> bool:
    values = [value for value in range(mask.bit_length()) if mask >> value & 1]
    return bool(values) and not any((condition, value) in left for value in values)
