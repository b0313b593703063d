"""
The simulation's other half: builds it, starts it, and is the workshop it talks to.

The phones run in Node, the workshop in this process; a pipe each way, one JSON object a line. A
question waits for its answer and nothing else moves meanwhile: so a seed is a run.
"""

import json
import os
import subprocess
import tempfile
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass, replace
from functools import cache
from pathlib import Path
from typing import IO, Any

from faults.sim.workshop import Workshop, chance_given_back
from peer import CLIENT, find_node
from twoturns.procedure.compile.bundle import Bundle
from workshop import tiny_bundle

# Much is thrown away soon, and the double of IndexedDB throws for every key that is not there.
FLAGS = [
    "--min-semi-space-size=64",
    "--max-semi-space-size=64",
    "--single-threaded-gc",
    "--stack-trace-limit=4",
]
# Of the world's time, while people work and things go wrong; what a seed goes on from is longer
# (run.ts). What that is worth: tests/bench/bench_sim.py.
SECONDS = 20
# So many that follow one another go on from one past.
SEEDS_A_PAST = 32


@dataclass(frozen=True)
class Told:
    """What one seed came to."""

    seed: int
    faults: list[str]
    story: list[dict[str, Any]]
    done: dict[str, int]
    claims: int
    lost: int
    checks: int
    figures: dict[str, float]
    words: list[str]

    def without_story(self) -> "Told":
        return replace(self, story=[])

    def text(self) -> str:
        """Return the story, one event a line."""
        lines = [
            f"{event['at']:9.2f}  {event['who']:<11} {event['outcome']:<6}  {event['what']}"
            for event in self.story
        ]
        return "\n".join([f"seed {self.seed}", *lines, "", *self.faults])


@contextmanager
def built(*, plants: bool = False) -> Iterator[Path]:
    """Build the phones' side; with `plants`, one in which each planted fault can be switched on."""
    with tempfile.TemporaryDirectory() as name:
        vite = CLIENT / "node_modules" / "vite" / "bin" / "vite.js"
        config = ["--config", "vite.sim.config.ts", "--outDir", name]
        run = subprocess.run(
            [find_node(), str(vite), "build", *config],
            cwd=CLIENT,
            env={**os.environ, **({"PLANTS": "1"} if plants else {})},
            capture_output=True,
            text=True,
            check=False,
        )
        if run.returncode:
            raise RuntimeError(f"the simulation does not build:\n{run.stdout}{run.stderr}")
        yield Path(name) / "main.js"


@dataclass(frozen=True)
class Away:
    """A phone that worked so much for a year without a line."""

    jobs: int = 40
    photos: int = 600


@dataclass(frozen=True)
class Asked:
    """One run: its seed, the fault that is planted in the phones, if any, and what goes wrong."""

    seed: int
    plant: str = ""
    only: tuple[str, ...] = ()  # what alone goes wrong, by the nemesis's names; empty: everything
    seconds: int = SECONDS
    away: Away | None = None  # in the place of all that: one phone's year away, and its way back

    @property
    def past(self) -> int:
        """The number of the past that it goes on from."""
        return self.seed // SEEDS_A_PAST


def simulate(program: Path, wanted: Iterable[Asked]) -> Iterator[Told]:
    """Run seeds one after the other and yield what each came to."""
    with _folder() as folder, _started(program) as (asks, answers), chance_given_back():
        workshop = Workshop(folder, _procedure())
        asked = iter(wanted)
        for line in asks:
            said = json.loads(line)
            told = None
            if said["op"] == "next":
                run = next(asked, None)
                answer = {"ok": run and {**asdict(run), "past": run.past}}
            elif said["op"] == "told":
                told, answer = Told(**said["told"]), {"ok": None}
            else:
                answer = _answered(workshop.call, said)
            answers.write(json.dumps(answer) + "\n")
            answers.flush()
            if told is not None:
                yield told


@cache
def _procedure() -> Bundle:
    return tiny_bundle()


def _answered(call: Callable[[dict[str, Any]], Any], said: dict[str, Any]) -> dict[str, Any]:
    try:
        return {"ok": call(said)}
    except Exception as error:  # noqa: BLE001 - the story of the seed tells it
        return {"failed": f"{said['op']}: {type(error).__name__}: {error}"}


@contextmanager
def _folder() -> Iterator[Path]:
    """A place in memory, where there is one: a thousand flushes need not be waited for."""
    memory = Path("/dev/shm")  # noqa: S108 - a folder of our own is made in it
    with tempfile.TemporaryDirectory(dir=memory if memory.is_dir() else None) as name:
        yield Path(name)


@contextmanager
def _started(program: Path) -> Iterator[tuple[IO[str], IO[str]]]:
    with subprocess.Popen(
        [find_node(), *FLAGS, str(program)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        encoding="utf-8",
    ) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        try:
            yield process.stdout, process.stdin
        finally:
            process.stdin.close()
            process.wait(timeout=10)
