"""
How long a fold and a plan take, as ratios: absolute times of a shared machine mean little.

Run by hand: `PYTHONPATH=server:tests python tests/bench/bench_fold.py`.

Prints, for the van's timing drive:
- the phone's fold of a 300-entry log against parsing the same log as JSON, one phone and two;
- the server's fold against the phone's;
- the states the planner looks at, and its time, against a plain breadth-first search of the same.
"""

import json
import time
from dataclasses import asdict
from pathlib import Path
from random import Random
from typing import Any

from peer import run_peer
from twoturns.procedure.compile import bundle as bundles
from twoturns.procedure.machine.fold import LogEntry, fold
from twoturns.procedure.machine.machine import Failure, Machine
from twoturns.procedure.machine.search import States, shortest_way

DEMO = Path(__file__).parents[2] / "demo_jobs" / "van-timing-drive"


def log_of(machine: Machine, *, size: int, phones: int) -> list[LogEntry]:
    """Return a job done in listed order, over and over, with notes; phones take turns in fives."""
    rng, entries = Random(1), [LogEntry("0000", [], "job.opened", {}, "good", "p", "d0")]
    tips = ["0000"] * phones

    def write(phone: int, kind: str, body: dict[str, Any]) -> str:
        known = sorted(set(tips)) if rng.random() < 0.2 else [tips[phone]]
        entry = LogEntry(f"{len(entries):04}", known, kind, body, "good", "p", f"d{phone}")
        entries.append(entry)
        tips[phone] = entry.id
        return entry.id

    steps = [step for step in machine.steps if not step.undo]
    n = 0
    while len(entries) < size:
        step, phone = steps[n % len(steps)], n // 5 % phones
        write(phone, "step.begun", {"step": step.id})
        named = []
        for proof in step.proof:
            value = proof.ok[0] if proof.ok else proof.low or proof.high or "1"
            body = {"step": step.id, "name": proof.name, "value": value}
            named.append(write(phone, "reading.taken", body))
        write(phone, "step.done", {"step": step.id, "proof": named})
        write(phone, "note.added", {"step": step.id})
        n += 1
    return entries[:size]


def bench_folds(bundle: dict[str, Any], machine: Machine) -> None:
    source = {"machine": bundle["machine"], "rules": bundle["rules"]}
    with run_peer() as peer:
        for phones in (1, 2):
            entries = log_of(machine, size=300, phones=phones)
            text = json.dumps([asdict(entry) for entry in entries])
            phone = peer.call("timeFold", source, text, 30)
            begun = time.perf_counter()
            for _ in range(3):
                fold(machine, entries)
            server_ms = (time.perf_counter() - begun) / 3 * 1000
            print(
                f"fold, 300 entries, {phones} phone(s): {phone['fold'] / phone['parse']:.0f} times "
                f"its JSON.parse ({phone['fold']:.1f} ms against {phone['parse']:.2f} ms); "
                f"the server's {server_ms / phone['fold']:.0f} times the phone's"
            )


def plain_length(states: States, start: int, limit: int) -> int:
    """Return how many states a breadth-first search looks at, at most `limit`."""
    seen, layer = {start}, [start]
    while layer and len(seen) < limit:
        following = []
        for state in layer:
            if states.is_end(state):
                return len(seen)
            for move in states.moves:
                new = states.after(state, move)
                if new is not None and new not in seen:
                    seen.add(new)
                    following.append(new)
        layer = following
    return len(seen)


def failed(machine: Machine, states: States, state: int, step: int, failure: Failure) -> int:
    """Return the state after a failure: its makers are todo, as the fold says."""
    values = [states.value(state, c) for c in range(len(machine.conditions))]
    todo = {at for at in range(len(machine.steps)) if state & states.step_bit(at)} | {step}
    for c, value in failure.effect:
        for left, makers in machine.makers_of.get(c, ()):
            if left != value and (machine.conditions[c].proof or left == values[c]):
                todo.update(makers)
        values[c] = value
    return states.packed(values, todo)


def bench_plans(machine: Machine) -> None:
    states = States(machine, machine.end("finished"))
    moves = {move.step: move for move in states.moves}
    state = states.packed([c.start for c in machine.conditions], range(len(machine.steps)))
    places = [("the start", state)]
    for at, step in enumerate(machine.steps):
        if step.undo:
            continue
        places += [
            (f"{step.id} {failure.id}", failed(machine, states, state, at, failure))
            for failure in step.fails
        ]
        state = states.done(state, moves[at])
    times = []
    for name, place in places:
        begun = time.perf_counter()
        way = shortest_way(states, place, 20_000)
        times.append((time.perf_counter() - begun, name, way))
    times.sort(key=lambda each: each[0])
    print(f"plan, {len(places)} places: median {times[len(times) // 2][0] * 1000:.1f} ms")
    for took, name, way in times[-3:]:
        begun = time.perf_counter()
        plain = plain_length(states, dict(places)[name], 50_000)
        ratio = (time.perf_counter() - begun) / took
        length = "no way" if way.steps is None else f"{len(way.steps)} steps"
        print(
            f"plan, {name}: {length}, {took * 1000:.1f} ms, {way.looked_at} states looked at; "
            f"breadth first {plain} states (at most 50,000), {ratio:.1f} times as long"
        )


if __name__ == "__main__":
    van = bundles.load(DEMO).bundle
    bench_folds(van, Machine.from_bundle(van))
    bench_plans(Machine.from_bundle(van))
