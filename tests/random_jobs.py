"""
Random small machines and the logs of two or three phones that worked on one job, for tests.

A machine is closed as the compiler closes one: what a proof rests on is needed where it is made,
and what makes a proof fall makes all fall that rests on it. A log is written as phones write it:
each names the heads of what it has seen, and now and then takes in what another wrote. About half
of what it writes is what the order of work asks for; the rest is what goes wrong.
"""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace
from random import Random
from typing import Any

from plans import open_steps
from twoturns.procedure.machine.fold import LogEntry, fold
from twoturns.procedure.machine.machine import Machine

READING = {"name": "figure", "kind": "reading", "low": "10", "high": "20.0"}
VALUES = ("9.9", "10", "15.5", "20.00", "20.01", "12")


def random_bundle(
    rng: Random, *, rules: bool = True, ways: tuple[int, ...] = (1, 2)
) -> dict[str, Any]:
    """Return a bundle of two or three engine conditions, as many proofs and about six steps."""
    return _Builder(rng, rules=rules, ways=ways).bundle()


class _Builder:
    def __init__(self, rng: Random, *, rules: bool, ways: tuple[int, ...]) -> None:
        self.rng, self.with_rules, self.ways = rng, rules, ways
        self.sizes = [rng.choice((2, 2, 3)) for _ in range(rng.choice((2, 3)))]
        self.proofs = [len(self.sizes) + n for n in range(rng.choice((1, 2, 2, 3)))]
        self.every = [(1 << size) - 1 for size in self.sizes] + [3] * len(self.proofs)
        self.rests = {
            proof: [rng.choice(self.proofs[:n])]
            for n, proof in enumerate(self.proofs)
            if n and rng.random() < 0.5
        }
        self.voids = {
            (c, value): self._closed(rng.sample(self.proofs, 1))
            for c, size in enumerate(self.sizes)
            for value in range(size)
            if rng.random() < 0.4
        }

    def _closed(self, proofs: list[int]) -> list[int]:
        """Return these proofs and all that rest on them."""
        fallen = set(proofs)
        for proof in self.proofs:  # a proof rests on one that stands before it
            if fallen & set(self.rests.get(proof, ())):
                fallen.add(proof)
        return sorted(fallen)

    def bundle(self) -> dict[str, Any]:
        rng = self.rng
        ordinary = rng.choice((3, 4, 5))
        made: list[list[int]] = [[] for _ in range(ordinary)]
        for proof in self.proofs:
            made[rng.randrange(ordinary)].append(proof)
        steps = [self._step(n, proofs, undo=False) for n, proofs in enumerate(made)]
        steps += [self._step(ordinary + n, [], undo=True) for n in range(rng.choice(self.ways))]
        makers: dict[tuple[int, int], list[int]] = defaultdict(list)
        for at, step in enumerate(steps):
            for c, value in step["effect"] if step["must"] else []:
                if value or c < len(self.sizes):
                    makers[c, value].append(at)
        conditions = [
            {"id": f"c{n}", "proof": False, "values": [f"v{v}" for v in range(size)], "start": 0}
            for n, size in enumerate(self.sizes)
        ] + [
            {"id": f"c{n}", "proof": True, "values": ["unproved", "proved"], "start": 0}
            for n in self.proofs
        ]
        last = self.proofs[-1]
        machine = {
            "conditions": conditions,
            "steps": steps,
            "rests": [[proof, on] for proof, on in sorted(self.rests.items())],
            "makers": [[c, value, by] for (c, value), by in sorted(makers.items())],
            "ends": [
                {"id": "finished", "all_must": True, "conditions": [[last, 2], [0, self._mask(0)]]},
                {"id": "stopped", "all_must": False, "conditions": [[0, self._mask(0)]]},
            ],
        }
        uses = [
            {"id": step["id"], "uses": [{"part": "bolt", "count": at + 1}] if at % 2 else []}
            for at, step in enumerate(steps)
        ]
        return {
            "machine": machine,
            "steps": uses,
            "rules": [{"id": "never", "kind": "stop"}, {"id": "rarely", "kind": "ask"}],
        }

    def _mask(self, c: int) -> int:
        """Return a mask that is not empty and lets something out, if it can."""
        return self.rng.randrange(1, self.every[c]) if self.every[c] > 1 else 1

    def _step(self, at: int, proofs: list[int], *, undo: bool) -> dict[str, Any]:
        rng = self.rng
        moved = rng.sample(range(len(self.sizes)), rng.choice((1, 1, 2) if undo else (0, 1, 1, 2)))
        now: dict[int, int] = {}
        on_the_way: dict[int, int] = defaultdict(int)
        for c in [c for c in moved for _ in range(rng.choice((1, 1, 1, 2)))]:
            now[c] = rng.randrange(self.sizes[c])
            on_the_way[c] |= 1 << now[c]
            for proof in self.voids.get((c, now[c]), ()):
                now[proof] = 0
                on_the_way[proof] |= 1
        # The compiler refuses a step that proves something and takes away what it rests on.
        proofs = [p for p in proofs if all(now.get(on, 1) for on in self.rests.get(p, ()))]
        now.update(dict.fromkeys(proofs, 1))
        guard = self._guard(now, proofs)
        moves = {c: self._mask(c) | 1 << now[c] for c in moved if rng.random() < 0.3 and c in now}
        rules = []
        if self.with_rules and rng.random() < 0.3:
            rules = [{"rule": rng.randrange(2), "guard": [[0, self._mask(0)]]}]
        return {
            "id": f"s{at}",
            "undo": undo,
            "must": not undo and (bool(proofs) or rng.random() < 0.85),
            "together": "both" if not undo and at in (1, 2) and rng.random() < 0.5 else None,
            "guard": _pairs(guard),
            "moves": _pairs({c: m for c, m in moves.items() if m != self.every[c]}),
            "effect": _pairs(now),
            "on_the_way": _pairs(on_the_way),
            "fails": [self._failure(now)] if rng.random() < 0.7 else [],
            "reopen": _pairs(dict.fromkeys(self._closed(proofs) if proofs else [], 0)),
            "rules": rules,
            "proof": [READING] if not undo and rng.random() < 0.5 else [],
            "tools_out": [],
            "tools_in": [],
        }

    def _guard(self, now: dict[int, int], proofs: list[int]) -> dict[int, int]:
        guard = {
            c: self._mask(c)
            for c in range(len(self.sizes))
            if self.rng.random() < 0.35 and self.sizes[c] > 1
        }
        for proof in proofs:
            for on in self.rests.get(proof, ()):
                if on not in now:
                    guard[on] = 2
        for proof in self.proofs:
            if proof not in now and self.rng.random() < 0.15:
                guard[proof] = 2
        return guard

    def _failure(self, now: dict[int, int]) -> dict[str, Any]:
        effect, look = {}, []
        fallen = [c for c in now if c in self.proofs]
        for c in now:
            if c in self.proofs:
                continue
            if self.rng.random() < 0.4:
                look.append(c)
            else:
                effect[c] = self.rng.randrange(self.sizes[c])
                fallen += self.voids.get((c, effect[c]), [])
        effect.update(dict.fromkeys(self._closed(fallen) if fallen else [], 0))
        return {"id": "wrong", "effect": _pairs(effect), "look": look}


def _pairs(masks: dict[int, int]) -> list[list[int]]:
    return [[c, masks[c]] for c in sorted(masks)]


class RandomLog:
    """Phones that write a log together; `entries` is in the order in which they really wrote."""

    def __init__(
        self,
        rng: Random,
        machine: Machine,
        *,
        phones: int,
        corrections: int = 3,
        bad: float = 0.06,
    ) -> None:
        self.rng, self.machine = rng, machine
        self.corrections, self.bad = corrections, bad
        self.entries: list[LogEntry] = []
        self.seen: list[set[str]] = [set() for _ in range(phones)]
        opened = self._write(0, "job.opened", {}, standing="good")
        for seen in self.seen:
            seen.add(opened)

    def run(self, size: int) -> list[LogEntry]:
        """Write until the log has this size, and return it."""
        while len(self.entries) < size:
            phone = self.rng.randrange(len(self.seen))
            if self.rng.random() < 0.3:
                self.seen[phone] |= self.rng.choice(self.seen)
            self._act(phone)
        return self.entries[:size]

    def _write(
        self, phone: int, kind: str, body: dict[str, Any], *, standing: str | None = None
    ) -> str:
        seen = self.seen[phone]
        reached = {parent for e in self.entries if e.id in seen for parent in e.after}
        if standing is None:
            is_bad = self.rng.random() < self.bad
            standing = self.rng.choice(("gap", "doubted", "forked")) if is_bad else "good"
        entry = LogEntry(
            id=f"{self.rng.getrandbits(32):08x}{len(self.entries):03d}",
            after=sorted(seen - reached)[:16],
            kind=kind,
            body=body,
            standing=standing,
            person=f"person {phone}",
            device=f"device {phone}",
        )
        self.entries.append(entry)
        seen.add(entry.id)
        return entry.id

    def _act(self, phone: int) -> None:
        rng = self.rng
        chance = rng.random()
        step = rng.choice(self.machine.steps)
        if chance < 0.55:
            self._do(phone, self._asked_for(phone))
        elif chance < 0.65:
            self._do(phone, step.id)
        elif chance < 0.70:
            self._write(phone, "step.begun", {"step": step.id})
        elif chance < 0.75:
            self._interrupt(phone, self._asked_for(phone) if rng.random() < 0.7 else step.id)
        elif chance < 0.83:
            failure = rng.choice(["wrong", "wrong", "never heard of"])
            self._write(phone, "step.failed", {"step": step.id, "failure": failure, "proof": []})
        elif chance < 0.87:
            self._write(phone, "step.reopened", {"step": step.id})
        elif chance < 0.92:
            condition = rng.choice([c for c in self.machine.conditions if not c.proof])
            body = {"condition": condition.id, "value": rng.choice(condition.values)}
            self._write(phone, "condition.seen", body)
        elif chance < 0.94:
            self._write(phone, "review.gap", {"step": step.id})
        elif chance < 0.98:
            self._correct(phone)
        else:
            self._talk(phone, step.id)

    def _interrupt(self, phone: int, step_id: str) -> None:
        """Begin a step, and let somebody look at what it moves: at most of it, now and then."""
        self._write(phone, "step.begun", {"step": step_id})
        state = fold(self.machine, [e for e in self.entries if e.id in self.seen[phone]])
        looker = phone if self.rng.random() < 0.6 else self.rng.randrange(len(self.seen))
        if self.rng.random() < 0.8:
            self.seen[looker] |= self.seen[phone]
        for c, _ in self.machine.steps[self.machine.step_index[step_id]].on_the_way:
            condition = self.machine.conditions[c]
            possible = [v for n, v in enumerate(condition.values) if state.conditions[c] >> n & 1]
            if not condition.proof and self.rng.random() < 0.85:
                body = {"condition": condition.id, "value": self.rng.choice(possible)}
                self._write(looker, "condition.seen", body)

    def _talk(self, phone: int, step: str) -> None:
        asked = [e.id for e in self.entries if e.kind == "review.returned"]
        kind, body = self.rng.choice(
            [
                ("tool.out", {"tool": "pin"}),
                ("tool.in", {"tool": "pin"}),
                ("tool.lost", {"tool": "pin"}),
                ("review.returned", {"step": step}),
                ("review.answered", {"question": self.rng.choice(asked or ["nothing"])}),
                ("review.approved", {}),
                ("job.closed", {"end": self.rng.choice(["finished", "stopped"])}),
            ]
        )
        self._write(phone, kind, body)

    def _asked_for(self, phone: int) -> str:
        state = fold(self.machine, [e for e in self.entries if e.id in self.seen[phone]])
        steps = open_steps(self.machine, state.conditions, state.todo)
        at = self.rng.choice(steps[:2]) if steps else self.rng.randrange(len(self.machine.steps))
        return self.machine.steps[at].id

    def _do(self, phone: int, step_id: str) -> None:
        """Begin a step, take its readings and call it done: sometimes only in part."""
        rng, step = self.rng, self.machine.steps[self.machine.step_index[step_id]]
        if rng.random() < 0.4:
            self._write(phone, "step.begun", {"step": step_id})
        named = [e.id for e in self.entries if e.body.get("name") and rng.random() < 0.2]
        for proof in step.proof:
            if rng.random() < 0.85:
                value = rng.choice(VALUES[1:4] if rng.random() < 0.8 else VALUES)
                body = {"step": step_id, "name": proof.name, "value": value}
                named.append(self._write(phone, "reading.taken", body))
        body = {"step": step_id, "proof": named}
        if rng.random() < 0.05:
            body["passed"] = [{"rule": "rarely"}]
        if rng.random() < 0.9:
            self._write(phone, "step.done", body)

    def _correct(self, phone: int) -> None:
        readings = [
            e.id for e in self.entries if e.kind == "reading.taken" and e.id in self.seen[phone]
        ]
        counts = defaultdict(int)
        for entry in self.entries:
            counts[entry.body.get("of")] += 1
        readings = [each for each in readings if counts[each] < self.corrections]
        if readings:
            body = {"of": self.rng.choice(readings), "value": self.rng.choice(VALUES)}
            self._write(phone, "reading.corrected", body)


def random_job(
    seed: int, *, phones: int | None = None, size: int | None = None, **more: Any
) -> tuple[dict[str, Any], Machine, list[LogEntry]]:
    """Return a bundle, its machine and a log, all from a seed."""
    rng = Random(seed)
    bundle = random_bundle(rng, rules=more.pop("rules", True))
    machine = Machine.from_bundle(bundle)
    log = RandomLog(rng, machine, phones=phones or rng.choice((1, 2, 2, 3)), **more)
    return bundle, machine, log.run(size or rng.randrange(3, 24))


def without_link(entries: list[LogEntry], rng: Random) -> list[LogEntry]:
    """Return the log with one link of one entry left out."""
    at = rng.choice([n for n, entry in enumerate(entries) if entry.after])
    after = list(entries[at].after)
    after.remove(rng.choice(after))
    return [replace(e, after=after) if n == at else e for n, e in enumerate(entries)]


def random_links(rng: Random, most: int) -> Iterator[tuple[str, list[str], str]]:
    """Yield the id of each entry of a log, one at least, what it follows, and its standing."""
    seen: list[str] = []
    for n in range(rng.randint(1, most)):
        after = sorted(rng.sample(seen, rng.randint(0, min(2, len(seen)))))
        yield f"e{n:02}", after, rng.choice(["good", "good", "good", "doubted", "gap"])
        seen.append(f"e{n:02}")
