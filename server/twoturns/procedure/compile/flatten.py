"""
Flattens a procedure into its machine. Moves, voids and rests are closed into flat numbers here, so
that a phone knows no procedures, only guards and effects. Its form is formats.md, section 6.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import cast

from twoturns.procedure import shape
from twoturns.procedure.language.names import Move, Names
from twoturns.procedure.language.source import Path, Source
from twoturns.procedure.rules.house import Rule
from twoturns.words import t
from twoturns.words.en.procedure.compile import flatten as texts

Pairs = list[list[int]]
#: By rule and step, what the house rule asks for in whose place a maker's word holds.
Replaced = dict[str, dict[int, Pairs]]


def pairs(masks: dict[int, int]) -> Pairs:
    """Return `{condition: number}` as the machine writes it, in the order of conditions."""
    return [[condition, masks[condition]] for condition in sorted(masks)]


@dataclass(frozen=True)
class BoundRule:
    """A house rule in the numbers of one procedure."""

    doing: frozenset[str]
    unless: tuple[tuple[int, int], ...]


@dataclass
class Walk:
    """What is known after some parts of a step's `does`."""

    now: dict[int, int] = field(default_factory=dict)
    from_: dict[int, int] = field(default_factory=dict)
    on_the_way: dict[int, int] = field(default_factory=lambda: defaultdict(int))
    rules: dict[int, dict[int, int]] = field(default_factory=lambda: defaultdict(dict))
    vacuous: set[int] = field(default_factory=set)


class Flattener:
    """Flattens one procedure into its machine; faults go to `names.problems`."""

    def __init__(self, names: Names, data: Source, rules: Sequence[Rule]) -> None:
        self.names, self.data = names, data
        self._asked = len(rules)
        replaced = [rule.instead.of for rule in rules if rule.instead]
        self.replaced: Replaced = {rule.id: {} for rule in replaced}
        self._of_house = [rule.id for rule in replaced]
        self.rests = self._rests()
        self.fallen_with = self._closure()
        self.legal = self._legal()
        self.voids = self._voids()
        self.rules = [self._bound(rule) for rule in rules]
        self.rules += [self._bound(rule, is_replaced=True) for rule in replaced]

    def built(self) -> shape.MachineForm:
        """Return the machine."""
        conditions = self.names.conditions
        steps = [self._step(at, step) for at, step in enumerate(self.data["steps"])]
        return {
            "conditions": [
                {
                    "id": each.id,
                    "proof": each.proof,
                    "values": list(each.values),
                    "start": each.start,
                }
                for each in conditions
            ],
            "steps": steps,
            "rests": cast(
                list[shape.Rest],  # lists in JSON
                [[proof, sorted(on)] for proof, on in sorted(self.rests.items())],
            ),
            "makers": self._makers(steps),
            "ends": [self._end(end_id, end) for end_id, end in self.data["ends"].items()],
        }

    # What the procedure says of its conditions.

    def _rests(self) -> dict[int, list[int]]:
        rests = {}
        for word, on_words in self.data["rests"].items():
            path: Path = ("rests", word)
            proof = self.names.condition(path, word, proof=True)
            on = [self.names.condition(path, each, proof=True) for each in on_words]
            if proof is not None:
                rests[proof] = [each for each in on if each is not None]
        return rests

    def _closure(self) -> dict[int, list[int]]:
        """Return for each proof what falls with it: itself, and all that rests on it."""
        above = defaultdict(list)
        for proof, on in self.rests.items():
            for each in on:
                above[each].append(proof)
        fallen = {}
        for at, condition in enumerate(self.names.conditions):
            if condition.proof:
                reached = self._reach(at, above)
                fallen[at] = sorted(reached)
        return fallen

    def _reach(self, start: int, above: dict[int, list[int]]) -> set[int]:
        reached, ways = {start}, [[start]]
        while ways:
            way = ways.pop()
            for proof in above.get(way[-1], []):
                if proof == start:
                    self._refuse_circle(way)
                elif proof not in reached:
                    reached.add(proof)
                    ways.append([*way, proof])
        return reached

    def _refuse_circle(self, way: list[int]) -> None:
        ids = [self.names.conditions[each].id for each in way]
        # Each proof of a circle finds it; it is told once, from the first of them.
        if way[0] == min(way):
            round_trip = " <- ".join([*ids, ids[0]])
            self.names.refuse(
                ("rests", ids[0]),
                t(texts.RESTS_CIRCULAR, round_trip=round_trip),
                t(texts.RESTS_CIRCULAR_HINT),
                "circle",
            )

    def _legal(self) -> dict[int, dict[int, int]]:
        """Return for each condition with listed moves: the value moved to, the mask of origins."""
        legal: dict[int, dict[int, int]] = {}
        for word, ways in self.data["moves"].items():
            condition = self.names.condition(("moves", word), word, proof=False)
            if condition is None:
                continue
            legal[condition] = {}
            for to_word, origins in ways.items():
                path = ("moves", word, to_word)
                to = self.names.value(path, condition, to_word)
                if to is not None:
                    legal[condition][to] = self.names.mask(path, condition, origins)
        return legal

    def _voids(self) -> dict[Move, list[int]]:
        voids = {}
        for words, proof_words in self.data["voids"].items():
            path = ("voids", words)
            move = self.names.move(path, words)
            proofs = [self.names.condition(path, word, proof=True) for word in proof_words]
            if move is not None and self.names.conditions[move[0]].proof:
                self.names.refuse(
                    path,
                    t(texts.UNPROVED_BY_STEP, words=words),
                    t(texts.UNPROVED_BY_STEP_HINT),
                    "void-of-proof",
                )
            elif move is not None:
                voids[move] = self._fall(each for each in proofs if each is not None)
        return voids

    def _fall(self, proofs: Iterable[int]) -> list[int]:
        return sorted({fallen for proof in proofs for fallen in self.fallen_with[proof]})

    def _bound(self, rule: Rule, *, is_replaced: bool = False) -> BoundRule:
        unless = []
        for word, values in rule.unless:
            condition = self.names.index.get(word)
            if condition is None:
                continue
            known = self.names.conditions[condition].values
            mask = sum(1 << known.index(each) for each in set(values) if each in known)
            if mask == 0 and not is_replaced:
                kind = "proof" if self.names.conditions[condition].proof else "engine"
                self.names.refuse(
                    ("conditions", kind, word),
                    t(
                        texts.RULE_VALUE_UNKNOWN,
                        rule_id=rule.id,
                        word=word,
                        values=" or ".join(values),
                    ),
                    t(texts.RULE_VALUE_UNKNOWN_HINT),
                    "rule-value",
                )
            unless.append((condition, mask))
        return BoundRule(frozenset(rule.doing), tuple(unless))

    # One step.

    def _step(self, at: int, step: Source) -> shape.MachineStep:
        path: Path = ("steps", at)
        walk = self._walked(path, step)
        guard = self.names.masks((*path, "asks"), step["asks"])
        self._need_what_proofs_rest_on(path, walk, guard)
        left = [each for each, value in walk.now.items() if value and self._is_proof(each)]
        every = {at: each.every for at, each in enumerate(self.names.conditions)}
        return {
            "id": step["id"],
            "undo": step["undo"],
            "must": step.get("must", not step["undo"]),
            "together": step.get("together"),
            "guard": pairs({c: mask for c, mask in guard.items() if mask != every[c]}),
            "moves": pairs({c: mask for c, mask in walk.from_.items() if mask != every[c]}),
            "effect": pairs(walk.now),
            "on_the_way": pairs(walk.on_the_way),
            "fails": [
                self._failure((*path, "fails", number), walk, failure)
                for number, failure in enumerate(step["fails"])
            ],
            "reopen": pairs(dict.fromkeys(self._fall(left), 0)),
            "rules": self._rules_of(at, walk),
            "proof": [_proof(proof) for proof in step["proof"]],
            "tools_out": step["tools_out"],
            "tools_in": step["tools_in"],
        }

    def _rules_of(self, at: int, walk: Walk) -> list[shape.MachineRule]:
        """What a step's rules ask for; what a maker's word has replaced goes no further."""
        asked = {rule: pairs(guard) for rule, guard in sorted(walk.rules.items()) if guard}
        for rule, guard in asked.items():
            if rule >= self._asked:
                self.replaced[self._of_house[rule - self._asked]][at] = guard
        return [
            {"rule": rule, "guard": guard} for rule, guard in asked.items() if rule < self._asked
        ]

    def _is_proof(self, condition: int) -> bool:
        return self.names.conditions[condition].proof

    def _walked(self, path: Path, step: Source) -> Walk:
        """Follow `does` part by part, looking at the house rules between the parts."""
        walk = Walk()
        for number, deed in enumerate(step["does"]):
            move = self.names.move((*path, "does", number), deed) if "=" in deed else None
            # Writing the value that is there already is no move, and no rule speaks of it.
            if move is None or walk.now.get(move[0]) != move[1]:
                self._ask_rules(walk, deed)
            if move is not None:
                self._write((*path, "does", number), walk, move)
        return walk

    def _ask_rules(self, walk: Walk, deed: str) -> None:
        for number, rule in enumerate(self.rules):
            if deed not in rule.doing:
                continue
            asked = walk.rules[number]
            if not rule.unless:
                asked[0] = 0  # never at all: no value of any condition will do
            for condition, mask in rule.unless:
                if condition not in walk.now:
                    asked[condition] = asked.get(condition, mask) & mask
                elif not mask >> walk.now[condition] & 1:
                    asked[condition] = 0

    def _write(self, path: Path, walk: Walk, move: Move) -> None:
        condition, value = move
        if self._is_proof(condition):
            if value:
                walk.now[condition] = value
            else:
                self._let_fall(walk, self._fall([condition]))
            return
        if condition in self.legal:
            self._check_legal(path, walk, move)
        walk.now[condition] = value
        walk.on_the_way[condition] |= 1 << value
        self._let_fall(walk, self.voids.get(move, []))

    def _let_fall(self, walk: Walk, proofs: Iterable[int]) -> None:
        for proof in proofs:
            walk.now[proof] = 0
            walk.on_the_way[proof] |= 1

    def _check_legal(self, path: Path, walk: Walk, move: Move) -> None:
        condition, value = move
        origins = self.legal[condition].get(value, 0)
        if condition not in walk.now:
            walk.from_[condition] = origins | 1 << value
        elif walk.now[condition] == value or origins >> walk.now[condition] & 1:
            return
        if origins == 0 or condition in walk.now:
            came = ""
            if condition in walk.now:
                came = f" from {self.names.spoken(condition, walk.now[condition])}"
            self.names.refuse(
                path,
                t(texts.ILLEGAL_MOVE, spoken=self.names.spoken(condition, value), came=came),
                t(texts.ILLEGAL_MOVE_HINT, id=self.names.conditions[condition].id),
                "illegal-move",
            )

    def _need_what_proofs_rest_on(self, path: Path, walk: Walk, guard: dict[int, int]) -> None:
        for proof, value in walk.now.items():
            for on in self.rests.get(proof, []) if value else []:
                condition = self.names.conditions[on]
                if on not in walk.now:
                    guard[on] = guard.get(on, condition.every) & condition.proved
                elif walk.now[on] == 0:
                    self.names.refuse(
                        path,
                        t(
                            texts.TAKES_OWN_GROUND,
                            id=self.names.conditions[proof].id,
                            condition_id=condition.id,
                        ),
                        t(texts.TAKES_OWN_GROUND_HINT),
                        "proof-undone",
                    )

    def _failure(self, path: Path, walk: Walk, failure: Source) -> shape.MachineFailure:
        effect: dict[int, int] = {}
        fallen = [each for each in walk.now if self._is_proof(each)]
        for word, value_word in failure["leaves"].items():
            move = self.names.move((*path, "leaves", word), f"{word}={value_word}")
            if move is None:
                continue
            if not self._is_proof(move[0]):
                effect[move[0]] = move[1]
                fallen += self.voids.get(move, [])
            elif move[1] == 0:
                fallen.append(move[0])
            else:
                self.names.refuse(
                    (*path, "leaves", word),
                    t(texts.FAILURE_PROVES, word=word),
                    t(texts.FAILURE_PROVES_HINT),
                    "failure-proves",
                )
        effect.update(dict.fromkeys(self._fall(fallen), 0))
        look = self._looks(path, walk, failure)
        self._check_nothing_left_out(path, walk, effect, look)
        return {"id": failure["id"], "effect": pairs(effect), "look": look}

    def _looks(self, path: Path, walk: Walk, failure: Source) -> list[int]:
        look = set()
        for number, word in enumerate(failure["look"]):
            condition = self.names.condition((*path, "look", number), word, proof=False)
            if condition is None:
                continue
            look.add(condition)
            if condition not in walk.now:
                self.names.refuse(
                    (*path, "look", number),
                    t(texts.LOOK_UNTOUCHED, word=word),
                    t(texts.LOOK_UNTOUCHED_HINT),
                    "look-untouched",
                )
        return sorted(look)

    def _check_nothing_left_out(
        self, path: Path, walk: Walk, effect: dict[int, int], look: list[int]
    ) -> None:
        for condition in sorted(walk.now):
            if self._is_proof(condition):
                continue
            word = self.names.conditions[condition].id
            if condition in effect and condition in look:
                self.names.refuse(
                    path,
                    t(texts.LEAVES_AND_LOOKS, word=word),
                    t(texts.LEAVES_AND_LOOKS_HINT),
                    "failure-twice",
                )
            elif condition not in effect and condition not in look:
                self.names.refuse(
                    path,
                    t(texts.FAILURE_UNTOLD, word=word),
                    t(texts.FAILURE_UNTOLD_HINT),
                    "failure-open",
                )

    # The whole.

    def _makers(self, steps: list[shape.MachineStep]) -> list[shape.Maker]:
        makers: dict[Move, list[int]] = defaultdict(list)
        for at, step in enumerate(steps):
            for condition, value in step["effect"] if step["must"] else []:
                if value or not self._is_proof(condition):
                    makers[condition, value].append(at)
        listed = [[condition, value, by] for (condition, value), by in sorted(makers.items())]
        return cast(list[shape.Maker], listed)  # a list in JSON

    def _end(self, end_id: str, end: Source) -> shape.MachineEnd:
        masks = self.names.masks(("ends", end_id, "conditions"), end["conditions"])
        return {"id": end_id, "all_must": end["all_must"], "conditions": pairs(masks)}


def _proof(proof: Source) -> shape.MachineProof:
    """What the fold must know of a proof: a count is a reading whose two limits are one."""
    kept: shape.MachineProof = {"name": proof["name"], "kind": proof["kind"]}
    low, high = proof.get("low"), proof.get("high")
    if proof["kind"] == "count":
        low = high = proof["target"]
    if low is not None:
        kept["low"] = low
    if high is not None:
        kept["high"] = high
    if "options" in proof:
        kept["ok"] = [option["id"] for option in proof["options"] if option["ok"]]
    return kept
