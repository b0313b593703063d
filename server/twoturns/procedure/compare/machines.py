"""
What the machine asks for before a step and leaves after it, by the names of things.

Numbers of conditions and values move whenever one is added; so both machines are read by their
bundle's own words before they are laid side by side.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from twoturns.procedure import shape
from twoturns.procedure.compare.change import Change, Place
from twoturns.words import t
from twoturns.words.en.procedure.compare import machines as words

#: By a condition's id, the ids of values.
Asked = Mapping[str, frozenset[str]]
#: Of a condition and a mask, or a value: by their numbers in one bundle.
Pairs = Iterable[Sequence[int]]


class Reading:
    """One bundle's machine, read by names."""

    def __init__(self, bundle: shape.Bundle) -> None:
        self.bundle, self.machine = bundle, bundle["machine"]
        self.steps = {step["id"]: step for step in self.machine["steps"]}
        self.ends = {end["id"]: end for end in self.machine["ends"]}
        self._says = {
            (condition["id"], value["id"]): value["says"]
            for condition in bundle["conditions"]
            for value in condition["values"]
        }

    def asked(self, pairs: Pairs) -> Asked:
        """Return what pairs of a condition and a mask ask for."""
        found = {}
        for condition, mask in pairs:
            written = self.machine["conditions"][condition]
            values = (value for at, value in enumerate(written["values"]) if mask >> at & 1)
            found[written["id"]] = frozenset(values)
        return found

    def left(self, pairs: Pairs) -> Asked:
        """Return what pairs of a condition and a value leave."""
        return self.asked([condition, 1 << value] for condition, value in pairs)

    def guards(self, step: shape.MachineStep) -> dict[str, Pairs]:
        """Return what each house rule asks for at a step, by the rule's id."""
        rules = self.bundle["rules"]
        return {
            rules[asked["rule"]]["id"]: asked["guard"]
            for asked in step["rules"]
            if asked["rule"] < len(rules)
        }

    def said(self, condition: str, values: frozenset[str]) -> str:
        """Return how a condition is, in the bundle's words; in its order, by "or"."""
        says = [s for (c, value), s in self._says.items() if c == condition and value in values]
        return t(words.OR).join(says) or t(words.NEVER)


def step_in_machine(place: Place, step: str, before: Reading, after: Reading) -> Iterator[Change]:
    """Tell what a step asks of the engine, or leaves, or how it fails, otherwise than before."""
    was, now = before.steps[step], after.steps[step]
    beside = _Beside(before, after)
    yield from beside.asked(place, was["guard"], now["guard"])
    yield from beside.asked(place, was["moves"], now["moves"], words.MOVES)
    yield from beside.left(place, was["effect"], now["effect"])
    yield from beside.rules(place, was, now)
    old = {failure["id"]: failure for failure in was["fails"]}
    for failure in now["fails"]:
        if failure["id"] in old:
            part = place.part(t(words.FAILURE, name=failure["id"]))
            yield from beside.left(part, old[failure["id"]]["effect"], failure["effect"])


def end_in_machine(place: Place, end: str, before: Reading, after: Reading) -> Iterator[Change]:
    """Tell what an end asks of the engine otherwise than before."""
    was, now = before.ends[end], after.ends[end]
    yield from _Beside(before, after).asked(place, was["conditions"], now["conditions"])
    if was["all_must"] != now["all_must"]:
        yield place.change("order", t(words.ALL_STEPS[str(now["all_must"]).lower()]))


@dataclass(frozen=True)
class _Beside:
    """Two readings side by side: each method tells at a place what differs in one matter."""

    before: Reading
    after: Reading

    def asked(
        self, place: Place, was: Pairs, now: Pairs, message: str = words.ASKS
    ) -> Iterator[Change]:
        yield from self._told(place, self.before.asked(was), self.after.asked(now), message)

    def left(self, place: Place, was: Pairs, now: Pairs) -> Iterator[Change]:
        yield from self._told(place, self.before.left(was), self.after.left(now), words.LEAVES)

    def _told(self, place: Place, was: Asked, now: Asked, message: str) -> Iterator[Change]:
        new = [self.after.said(name, each) for name, each in now.items() if was.get(name) != each]
        gone = [self.before.said(name, each) for name, each in was.items() if now.get(name) != each]
        nothing = t(words.NOTHING)
        if new or gone:
            said = t(message, new="; ".join(new) or nothing, gone="; ".join(gone) or nothing)
            yield place.change("order", said)

    def rules(
        self, place: Place, was: shape.MachineStep, now: shape.MachineStep
    ) -> Iterator[Change]:
        old, new = self.before.guards(was), self.after.guards(now)
        for rule in sorted(old.keys() - new.keys()):
            yield place.change("order", t(words.RULE_GONE, rule=rule))
        for rule, guard in new.items():
            if rule not in old:
                yield place.change("order", t(words.RULE_NEW, rule=rule))
                continue
            yield from self.asked(place.part(t(words.RULE, rule=rule)), old[rule], guard)
