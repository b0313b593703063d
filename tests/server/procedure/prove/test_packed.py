"""
The packed machine that proving walks, against the fold: one phone, step by step, on random machines
and on the demo procedures. What one says of the state after each act the other must say.
"""

from random import Random

import pytest

from demo_procedures import HATCH, ROADSIDE, VAN, bundle_of
from random_jobs import random_bundle
from twoturns.procedure.machine.fold import LogEntry, fold
from twoturns.procedure.machine.machine import Machine
from twoturns.procedure.prove.packed import Packed


class Both:
    """A job told to both: entries to the fold, masks to the packed machine."""

    def __init__(self, bundle, rng):
        self.rng, self.machine, self.packed = (
            rng,
            Machine.from_bundle(bundle),
            Packed(bundle["machine"]),
        )
        self.asks = {at for at, rule in enumerate(self.machine.rules) if rule.ask}
        self.state = self.packed.start()
        self.entries, self.acts = [], []
        self.write("job.opened", {})

    def write(self, kind, body):
        last = [self.entries[-1].id] if self.entries else []
        self.entries.append(
            LogEntry(f"{len(self.entries):05}", last, kind, body, "good", "one", "phone")
        )
        return self.entries[-1].id

    def act(self):
        """Do one thing that a phone may; return False where nothing is open."""
        opened = [at for at in self.packed.opened(self.state) if self._is_kept(at)]
        if not opened:
            return False
        at, rng = self.rng.choice(opened), self.rng
        step = self.machine.steps[at]
        musts = [s for s, each in enumerate(self.machine.steps) if each.must]
        acts = {
            "do": 12,
            "pass": 3 if self._asked(at) else 0,
            "fail": 3 if step.fails else 0,
            "interrupt": 3,
            "gap": 1,
            "reopen": 1,
        }
        (name,) = rng.choices(list(acts), list(acts.values()))
        at = rng.choice(musts) if name in ("gap", "reopen") else at
        self.acts.append(f"{name} {self.machine.steps[at].id}")
        getattr(self, f"_{name}")(at)
        return True

    def _is_kept(self, at):
        return not set(self.packed.broken(self.state, at)) - self.asks

    def _asked(self, at):
        return [r.rule for r in self.machine.steps[at].rules if r.rule in self.asks]

    def _do(self, at):
        if self.packed.broken(self.state, at):
            self._pass(at)
            return
        self._done(at, {})
        self.state = self.packed.done(self.state, at)

    def _pass(self, at):
        rules = [{"rule": self.machine.rules[rule].id} for rule in self._asked(at)]
        self._done(at, {"passed": rules})
        self.state = self.packed.passed(self.state, at)

    def _done(self, at, more):
        step = self.machine.steps[at]
        self.write("step.begun", {"step": step.id})
        named = []
        for proof in step.proof:
            body = {"step": step.id, "name": proof.name}
            kind = {"photo": "photo.taken", "signature": "note.added"}.get(proof.kind)
            value = proof.ok[0] if proof.ok else proof.low or proof.high or "1"
            taken = body if kind else {**body, "value": value}
            named.append(self.write(kind or "reading.taken", taken))
        self.write("step.done", {"step": step.id, "proof": named, **more})

    def _fail(self, at):
        step = self.machine.steps[at]
        number = self.rng.randrange(len(step.fails))
        failure = step.fails[number]
        self.write("step.begun", {"step": step.id})
        self.write("step.failed", {"step": step.id, "failure": failure.id, "proof": []})
        after = self.rng.choice(list(self.packed.failed(self.state, at, number)))
        self._see([(c, self.packed.value(after, c)) for c in failure.look])
        self.state = after

    def _interrupt(self, at):
        self.write("step.begun", {"step": self.machine.steps[at].id})
        seen, self.state = self.rng.choice(list(self.packed.interrupted(self.state, at)))
        self._see(seen)

    def _see(self, seen):
        for c, value in seen:
            it = self.machine.conditions[c]
            self.write("condition.seen", {"condition": it.id, "value": it.values[value]})

    def _gap(self, at):
        self.write("review.gap", {"step": self.machine.steps[at].id})
        self.state = self.packed.gap(self.state, at)

    def _reopen(self, at):
        self.write("step.reopened", {"step": self.machine.steps[at].id})
        self.state = self.packed.reopened(self.state, at)

    def compare(self):
        told = fold(self.machine, self.entries)
        conditions = [1 << self.packed.value(self.state, c) for c in range(len(told.conditions))]
        assert told.conditions == conditions, self.acts
        todo = {at for at in told.todo if self.machine.steps[at].must}
        packed = self.packed.todo(self.state)
        assert todo == {at for at in range(len(told.steps)) if packed >> at & 1}, self.acts


def test_of_1000_random_jobs_both_say_the_same_after_every_act():
    done, kinds = 0, set()
    for seed in range(1000):
        rng = Random(seed)
        both = Both(random_bundle(rng, ways=(2, 3)), rng)
        for _ in range(12):
            if not both.act():
                break
            both.compare()
            done += 1
        kinds.update(act.split()[0] for act in both.acts)
    assert done > 3000
    assert kinds == {"do", "pass", "fail", "interrupt", "gap", "reopen"}


@pytest.mark.parametrize("name", [VAN, HATCH, ROADSIDE])
def test_on_the_demos_both_say_the_same(name):
    for seed in range(4):
        both = Both(bundle_of(name), Random(seed))
        for n in range(60):
            if not both.act():
                break
            if n % 6 == 5:
                both.compare()
        both.compare()
