"""
How long proving takes, and in how much memory, against a plain search over tuples in the same run.

Run by hand: `PYTHONPATH=server:tests python tests/bench/bench_prove.py`.

Each line is a process of its own, so that its peak of memory (VmHWM) is its own. The goals, on one
core: each timing drive with every way back open at any time within ten seconds, with ways back only
where no step of the order is open well under a second, a made-up machine of a million states within
a minute. Absolute times of a shared machine mean little: the ratio to the plain search is what says
whether a change made the prover better.
"""

import subprocess
import sys
import time
from collections import deque
from collections.abc import Callable
from pathlib import Path
from typing import Any

from procedure_walk import State, Walker
from twoturns.procedure.compile.bundle import load
from twoturns.procedure.prove.packed import Packed
from twoturns.procedure.prove.prove import prove, prove_compiled
from twoturns.procedure.prove.walk import walk

FOLDER = Path(__file__).parents[2] / "demo_jobs"
DEMOS = ("van-timing-drive", "hatch-timing-drive", "roadside-auxiliary-belt")
BOLTS = 20  # 2 to the power of them: 1,048,576 states
FEW_BOLTS = 14  # as many as the plain search does in a few seconds


class OnlyWhereNeeded(Packed):
    """Ways back only where no step of the listed order is open."""

    def opened(self, state: int) -> list[int]:
        found = super().opened(state)
        return [at for at in found if not self.steps[at]["undo"]] or found


def bolts(count: int) -> dict[str, Any]:
    """A machine of bolts that are loosened in any order, each by a step, each with a way back."""
    names = [f"bolt_{at}" for at in range(count)]

    def step(at: int, value: int, *, undo: bool) -> dict[str, Any]:
        return {
            "id": f"{names[at]}_{'tight' if undo else 'loose'}",
            "undo": undo,
            "must": not undo,
            "together": None if undo else "all",
            "guard": [[at, 1 << (1 - value)]],
            "moves": [],
            "effect": [[at, value]],
            "on_the_way": [[at, 1 << value]],
            "fails": [],
            "reopen": [],
            "rules": [],
            "proof": [],
            "tools_out": [],
            "tools_in": [],
        }

    return {
        "conditions": [
            {"id": name, "proof": False, "values": ["tight", "loose"], "start": 0} for name in names
        ],
        "steps": [step(at, 1, undo=False) for at in range(count)]
        + [step(at, 0, undo=True) for at in range(count)],
        "rests": [],
        "makers": [[at, 1, [at]] for at in range(count)],
        "ends": [{"id": "finished", "all_must": True, "conditions": []}],
    }


def plain_search(machine: dict[str, Any]) -> int:
    """Breadth first over states of tuples in a dict, as one would write it first."""
    walker = Walker(machine)
    came: dict[State, State | None] = {walker.start(): None}
    queue = deque(came)
    while queue:
        state = queue.popleft()
        for at in walker.opened(state):
            reached = [walker.done(at, state)]
            for failure in walker.steps[at]["fails"]:
                reached += walker.failed(at, failure, state)
            for after in reached:
                if after not in came:
                    came[after] = state
                    queue.append(after)
    return len(came)


def peak_mib() -> float:
    """The most memory this process has held, MiB: VmHWM of proc(5)."""
    for line in Path("/proc/self/status").read_text().splitlines():
        if line.startswith("VmHWM"):
            return int(line.split()[1]) / 1024
    raise RuntimeError("no VmHWM in /proc/self/status")


Measured = tuple[int, float, float]


def timed(work: Callable[[], int]) -> Measured:
    """States, seconds, and the peak of memory so far."""
    begun = time.perf_counter()
    states = work()
    return states, time.perf_counter() - begun, peak_mib()


def told(what: str, measured: Measured, plain: Measured | None = None) -> None:
    states, seconds, mib = measured
    ratio = "" if plain is None else f"  {plain[1] / seconds:5.1f} times as fast as plain"
    print(f"{what:46} {states:9,} states {seconds:7.2f} s {mib:7.0f} MiB{ratio}")


def everywhere(packed: Packed) -> int:
    return len(walk(packed, most_states=2_000_000).states)


def bench_demo(name: str) -> None:
    loaded = load(FOLDER / name)
    told(f"{name}, whole proof", timed(lambda: prove_compiled(loaded.compiled).states))
    machine = loaded.bundle["machine"]
    needed = timed(lambda: everywhere(OnlyWhereNeeded(machine)))
    told(f"{name}, ways back where needed", needed)
    walked = timed(lambda: everywhere(Packed(machine)))
    plain = timed(lambda: plain_search(machine))
    told(f"{name}, ways back any time", walked, plain)


def bench_bolts() -> None:
    few = bolts(FEW_BOLTS)
    walked, plain = timed(lambda: everywhere(Packed(few))), timed(lambda: plain_search(few))
    told(f"{FEW_BOLTS} bolts", walked, plain)
    told(f"{BOLTS} bolts", timed(lambda: everywhere(Packed(bolts(BOLTS)))))


def bench_bolts_proof() -> None:
    proof = timed(lambda: prove(bundle_of_bolts(BOLTS), most_states=2_000_000).states)
    told(f"{BOLTS} bolts, whole proof", proof)


def bundle_of_bolts(count: int) -> dict[str, Any]:
    """What a proof needs around a machine; the drive is the van's, without its locks."""
    machine = bolts(count)
    drive = load(FOLDER / DEMOS[0]).bundle["drive"]
    wheels = [{name: of for name, of in one.items() if name != "hole"} for one in drive["wheels"]]
    return {
        "conditions": [
            {"values": [{"id": v, "says": f"{each['id']} is {v}"} for v in each["values"]]}
            for each in machine["conditions"]
        ],
        "steps": [
            {"id": step["id"], "number": str(at), "title": step["id"], "says": [],
             "undo": step["undo"],
             "once": False, "fails": [], "proof": [], "tools_out": [], "tools_in": []}
            for at, step in enumerate(machine["steps"])
        ],
        "rules": [], "tools": [], "kit": [],
        "drive": {**drive, "wheels": wheels},
        "machine": machine,
    }  # fmt: skip


if __name__ == "__main__":
    if len(sys.argv) > 1:
        {"bolts": bench_bolts, "proof": bench_bolts_proof}.get(
            sys.argv[1], lambda: bench_demo(sys.argv[1])
        )()
    else:
        for part in (*DEMOS, "bolts", "proof"):
            subprocess.run([sys.executable, __file__, part], check=True)
