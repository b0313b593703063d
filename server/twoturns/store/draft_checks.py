"""
Checks of drafts: each in a process of its own, which ends by itself.

    draft-checks/NAME/draft.zip what is checked
    draft-checks/NAME/house.yaml what the workshop takes otherwise, if it does
    draft-checks/NAME/running   its process: its number, the machine, and a lock while it lives
    draft-checks/NAME/states    how many states it has gone through
    draft-checks/NAME/report    what came of it

All of it lies on the disk, because any process of the server may be asked next, also on another
machine that shares the folder: a check is ended by the machine that it runs on alone, for its
number is somebody else's elsewhere. A process that is killed leaves nothing that must be cleared
up. What a check may take is in `prove_draft`.
"""

import fcntl
import json
import os
import platform
import shutil
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from twoturns.store import files
from twoturns.store.errors import DraftRefused
from twoturns.store.words_of_workshop import FILE as HOUSE
from twoturns.words import t
from twoturns.words.en.store import draft_checks as words

FOLDER = "draft-checks"
DRAFT, RUNNING, STATES, REPORT = "draft.zip", "running", "states", "report"
#: At once, in the whole workshop: one core is left to the phones where there are no more than two.
MOST_RUNNING = 2
END_SECONDS = 5.0
_LOOK_SECONDS = 0.02

State = Literal["none", "running", "done", "ended"]


@dataclass(frozen=True)
class Told:
    """How far a check is. `ended`: stopped, or at the end of what it may take, without a report."""

    state: State
    states: int = 0
    report: dict[str, Any] | None = None


class DraftChecks:
    """The checks of a workshop's drafts, at most one of each draft."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder / FOLDER

    def begin(self, name: str, data: bytes) -> None:
        """
        Begin to check a draft, given as its file; a check of it that still runs is stopped.

        Raises:
            DraftRefused: `check-busy`.
        """
        with self._turn():
            self._end(name)
            if sum(map(_is_running, self._places())) >= MOST_RUNNING:
                raise DraftRefused("check-busy", t(words.BUSY, most=MOST_RUNNING))
            place = self.folder / name
            shutil.rmtree(place, ignore_errors=True)
            place.mkdir(mode=0o700)
            (place / DRAFT).write_bytes(data)
            with suppress(FileNotFoundError):
                shutil.copyfile(self.folder.parent / HOUSE, place / HOUSE)
            _prove(place)

    def told(self, name: str) -> Told:
        """Say how far the check of a draft is."""
        place = self.folder / name
        is_running = _is_running(place)  # first: what ends in between has left its report
        report = _read(place / REPORT)
        if report:
            said = json.loads(report)
            return Told("done", said["states"], said)
        states = int(_read(place / STATES) or 0)
        if is_running:
            return Told("running", states)
        return Told("ended", states) if place.is_dir() else Told("none")

    def is_by_house_words_of_now(self, name: str) -> bool:
        """Say whether the workshop takes the house rules as it did when the check was begun."""
        return _read(self.folder / name / HOUSE) == _read(self.folder.parent / HOUSE)

    def stop(self, name: str) -> None:
        """
        End a check, if one runs, and forget what came of it.

        Raises:
            DraftRefused: `check-busy`, if its process does not end.
        """
        with self._turn():
            self._end(name)

    def forget(self, name: str) -> None:
        """End the check of a draft that is thrown away, and remove what there is of it."""
        self.stop(name)
        shutil.rmtree(self.folder / name, ignore_errors=True)

    def _end(self, name: str) -> None:
        place = self.folder / name
        until = time.monotonic() + END_SECONDS
        while _is_running(place):
            _kill(place)
            if time.monotonic() > until:
                raise DraftRefused("check-busy", t(words.DOES_NOT_END))
            time.sleep(_LOOK_SECONDS)
        (place / REPORT).unlink(missing_ok=True)

    @contextmanager
    def _turn(self) -> Iterator[None]:
        self.folder.mkdir(mode=0o700, exist_ok=True)
        with files.in_turn(self.folder / "lock"):
            yield

    def _places(self) -> list[Path]:
        return [place for place in self.folder.iterdir() if place.is_dir()]


def _prove(place: Path) -> None:
    """Start the process. It has the lock from its first moment, and lets go of it with its last."""
    lock = os.open(place / RUNNING, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        fcntl.flock(lock, fcntl.LOCK_EX)
        process = subprocess.Popen(
            [sys.executable, "-m", "twoturns.store.prove_draft", str(place)],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            pass_fds=(lock,),
        )
        os.write(lock, f"{process.pid} {_machine()}".encode())
    finally:
        os.close(lock)
    # Whoever started it must take note of its end, or its number is never free again.
    threading.Thread(target=process.wait, daemon=True, name="draft-check").start()


def _kill(place: Path) -> None:
    """End a process that still has its lock: its number is nobody else's here while it lives."""
    with suppress(ProcessLookupError, ValueError):  # over just now; or begun by one that was killed
        number, machine = (place / RUNNING).read_text().split(" ")
        if machine == _machine():
            os.kill(int(number), signal.SIGKILL)


def _machine() -> str:
    """Return what tells where processes have these numbers: this machine, or this container."""
    with suppress(FileNotFoundError):  # of Linux: proc(5), pid_namespaces(7)
        booted = Path("/proc/sys/kernel/random/boot_id").read_text().strip()
        return f"{booted}/{Path('/proc/self/ns/pid').readlink()}"
    return platform.node()


def _is_running(place: Path) -> bool:
    with suppress(FileNotFoundError), (place / RUNNING).open() as file:
        try:
            fcntl.flock(file, fcntl.LOCK_SH | fcntl.LOCK_NB)
        except BlockingIOError:
            return True
    return False


def _read(path: Path) -> str | None:
    with suppress(FileNotFoundError):
        return path.read_text(encoding="utf-8", errors="replace")
    return None
