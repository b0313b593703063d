"""
Marks and locks come back: what stands again, so many turns of the crankshaft on.

The belt moves every toothed wheel by as many teeth as the crankshaft, so a wheel's mark and its
locking hole are back after whole turns of it alone. From each step that counts turns (a reading in
turns, or in degrees with one whole number of turns in its window) the search goes wherever one
phone can go, until something brings the shafts to their marks otherwise. What it meets on the way
must be so: a lock that goes in, a mark that is up.

Only wheels that the belt's teeth drive are judged; a smooth one, or a lock elsewhere, is no part.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from twoturns.procedure import shape
from twoturns.procedure.prove.finding import Finding
from twoturns.procedure.prove.packed import Packed
from twoturns.procedure.prove.phrases import Words
from twoturns.procedure.prove.walk import Deed
from twoturns.trade.drive import turns_until_back
from twoturns.words import t
from twoturns.words.en.procedure.prove import returns as texts

# The words of the house rules by which shafts come to their marks, other than by counted turns.
_ALIGNED = ("crank_at", "shafts")
# Chosen: the nearest way is wanted, and it lies a few steps behind the turns.
_MOST_PLACES = 20_000


@dataclass(frozen=True)
class _Place:
    """A state of the walk, the turns since the shafts were last at their marks, the way here."""

    state: int
    turned: Fraction
    deeds: tuple[Deed, ...]


def not_returning(
    bundle: shape.Bundle, packed: Packed, words: Words, straight: Sequence[tuple[int, int, int]]
) -> Iterator[Finding]:
    """
    Tell each lock and each mark that a step has back after turns that do not bring it back.

    Args:
        bundle: Compiled and checked.
        packed: Its machine.
        words: Its words, and the lines of its source.
        straight: The straight job, as `straight_run` gives it.
    """
    drive = _Drive(bundle, packed)
    if not drive.may_miss():
        return
    turned, deeds = Fraction(0), list[Deed]()
    for at, before, after in straight:
        deed = Deed(at, after)
        counted = drive.counted(before, deed)
        if counted and not turned:
            yield from _missed(drive, words, _Place(before, turned, tuple(deeds)), deed)
        is_back = drive.realigns(deed) or any(True for _ in drive.locked(before, deed))
        turned = turned + counted if counted else Fraction(0) if is_back else turned
        deeds.append(deed)


def _missed(drive: _Drive, words: Words, start: _Place, turning: Deed) -> Iterator[Finding]:
    """The nearest claim of each lock and mark that does not hold after a step that turns."""
    told: set[tuple[str, str]] = set()
    queue, seen = deque([(start, turning)]), set[tuple[int, Fraction]]()
    while queue and len(seen) < _MOST_PLACES:
        place, deed = queue.popleft()
        turned = place.turned + drive.counted(place.state, deed)
        after = _Place(deed.after, turned, (*place.deeds, deed))
        for kind, wheel, says in drive.claims(place.state, deed):
            if turned % drive.every[wheel["id"]] and (kind, wheel["id"]) not in told:
                told.add((kind, wheel["id"]))
                yield _told(drive, words, after, wheel, says)
        key = (after.state, turned % drive.together)
        if key not in seen and not drive.realigns(deed):
            seen.add(key)
            queue.extend((after, following) for following in drive.deeds(after.state))


def _told(
    drive: _Drive, words: Words, place: _Place, wheel: shape.DriveWheel, lock: int | None
) -> Finding:
    at = place.deeds[-1].step
    step, turns = words.step(at), f"{float(place.turned):g}"
    label, every = wheel["label"], drive.every[wheel["id"]]
    if lock is None:
        says = t(texts.MARK_IS_NOT_UP, step=step, turns=turns, wheel=label, every=every)
    else:
        held = words.value(lock, drive.inside(lock))
        says = t(
            texts.LOCK_DOES_NOT_GO_IN, step=step, lock=held, turns=turns, wheel=label, every=every
        )
    return Finding(
        "lock-does-not-return",
        says,
        t(texts.ALL_MEET_EVERY, together=drive.together),
        place=words.place("steps", at),
        way=tuple(words.name(deed) for deed in place.deeds),
        sequence=tuple(words.deed(drive.packed, deed) for deed in place.deeds),
    )


class _Drive:
    """The toothed wheels of a bundle, and what its steps say of them."""

    def __init__(self, bundle: shape.Bundle, packed: Packed) -> None:
        self.packed = packed
        self.steps = bundle["steps"]
        self._names = [each["id"] for each in packed.machine["conditions"]]
        wheels = [each for each in bundle["drive"]["wheels"] if "teeth" in each]
        # The driving wheel is the first; on a belt without teeth there is nothing to judge.
        self.every = {
            each["id"]: turns_until_back(wheels[0]["teeth"], each["teeth"]) for each in wheels
        }
        known = [each for each in wheels if "mark_mdeg" in each or "hole" in each]
        self.together = math.lcm(*(self.every[each["id"]] for each in known))
        self._marked = {each["id"]: each for each in wheels if "mark_mdeg" in each}
        self._locks = [
            (self._names.index(each["hole"]["condition"]), each)
            for each in wheels
            if "hole" in each
        ]
        moving = (*_ALIGNED, bundle["drive"]["belt"].get("condition"))
        self._moving = {c for c, name in enumerate(self._names) if name in moving}

    def may_miss(self) -> bool:
        """Whether some counted turns leave some mark or lock elsewhere."""
        counts = [self._turns(at) for at in range(len(self.steps))]
        return any(turns % self.together for turns in counts)

    def inside(self, lock: int) -> int:
        """The value of a lock's condition that says that it is in its hole."""
        return int(self.packed.machine["conditions"][lock]["values"].index("in"))

    def _turns(self, at: int) -> Fraction:
        """Turns that a step asks to be counted; 0 where it counts none."""
        readings = [each for each in self.steps[at]["proof"] if each["kind"] == "reading"]
        return next(filter(None, map(_turns_of, readings)), Fraction(0))

    def counted(self, state: int, deed: Deed) -> Fraction:
        """Turns of the crankshaft that a deed adds; none where a lock holds it all the while."""
        if deed.failure is not None:
            return Fraction(0)
        on_the_way = self._on_the_way(deed.step)
        for lock, _ in self._locks:
            seen = on_the_way.get(lock, 0) | 1 << self.packed.value(state, lock)
            if seen == 1 << self.inside(lock):
                return Fraction(0)
        return self._turns(deed.step)

    def _on_the_way(self, at: int) -> dict[int, int]:
        """The values that a step writes on its way: a mask for each condition."""
        return {pair[0]: pair[1] for pair in self.packed.steps[at]["on_the_way"]}

    def deeds(self, state: int) -> Iterator[Deed]:
        """What can be done in a state, and how it can fail."""
        for at in self.packed.opened(state):
            yield Deed(at, self.packed.done(state, at))
            for number in self.packed.failures[at]:
                for after in self.packed.failed(state, at, number):
                    yield Deed(at, after, number)

    def realigns(self, deed: Deed) -> bool:
        """Whether a deed leaves the shafts otherwise than by the turns that were counted."""
        step = self.packed.steps[deed.step]
        if deed.failure is not None:
            failure = step["fails"][deed.failure]
            touched = {*(c for c, _ in failure["effect"]), *failure["look"]}
        elif self._turns(deed.step):
            return False
        else:
            touched = {c for c, _ in step["on_the_way"]}
        return bool(touched & self._moving)

    def claims(self, state: int, deed: Deed) -> Iterator[tuple[str, shape.DriveWheel, int | None]]:
        """What a deed says stands again: locks that go in, with their conditions, and marks."""
        for lock, wheel in self.locked(state, deed):
            yield "lock", wheel, lock
        if deed.failure is None:
            for name in self._marks(deed.step):
                yield "mark", self._marked[name], None

    def locked(self, state: int, deed: Deed) -> Iterator[tuple[int, shape.DriveWheel]]:
        """The locks that a deed puts in, with their wheels."""
        on_the_way = self._on_the_way(deed.step)
        for lock, wheel in self._locks:
            inside = self.inside(lock)
            if deed.failure is None:
                puts = bool(on_the_way.get(lock, 0) >> inside & 1)
            else:
                puts = self.packed.value(deed.after, lock) == inside
                puts = puts and self.packed.value(state, lock) != inside
            if puts:
                yield lock, wheel

    def _marks(self, at: int) -> list[str]:
        """The wheels whose marks a step has up: those it measures, or looks at at the marks."""
        step, conditions = self.steps[at], self.packed.machine["conditions"]
        names = [proof["wheel"] for proof in step["proof"] if "wheel" in proof]
        for c, value in self.packed.steps[at]["effect"]:
            if self._names[c] == "crank_at" and conditions[c]["values"][value] == "marks":
                names += step.get("look", [])
        return [name for name in dict.fromkeys(names) if name in self._marked]


def _turns_of(reading: shape.Proof) -> Fraction:
    """The target of a reading in turns, or the one whole number of turns in its window; else 0."""
    degrees = {"turns": 1, "°": 360}.get(reading["unit"])
    if degrees is None:
        return Fraction(0)
    if degrees == 1 and "target" in reading:
        return Fraction(reading["target"])
    low, high = (Fraction(reading[limit]) / degrees for limit in ("low", "high"))
    whole = range(math.ceil(low), math.floor(high) + 1)
    return Fraction(whole[0]) if len(whole) == 1 else Fraction(0)
