"""
A workshop as its people run it: the real command line, and the server in processes of its own.

Only the server is started as a person does it: a Python that starts costs more than most commands.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, ClassVar

from click.testing import CliRunner

from demo_procedures import loaded
from ports import free_port
from publishing import publish_by_right
from twoturns.cli import main
from twoturns.store import Store

ROOT = Path(__file__).resolve().parents[2]
SERVER = ROOT / "server"
COMMAND = [sys.executable, "-c", "from twoturns.cli import main; main()"]
PATIENCE_S = 30

TOOLS = [
    # slot type, id, words, lowest, highest, unit
    ("torque_wrench", "TW-2", "small wrench", "2", "50", "N·m"),
    ("torque_wrench", "TW-5", "large wrench", "40", "200", "N·m"),
    ("thermometer", "TH-1", "thermometer", "-20", "150", "°C"),
    ("caliper", "CA-1", "caliper", "0", "150", "mm"),
    ("refractometer", "RF-1", "refractometer", "-50", "0", "°C"),
    ("pressure_tester", "PT-1", "pressure tester", "0", "2", "bar"),
    ("voltmeter", "VM-1", "voltmeter", "0", "60", "V"),
    ("feeler", "FG-1", "feeler gauge", "0", "2", "mm"),
]


class ServedWorkshop:
    """A workshop's folder, the command line on it, and its server, which may be killed."""

    #: Those that serve, or have served while the test that runs did: it may fail.
    heard: ClassVar[list[ServedWorkshop]] = []

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.data = folder / "data"
        self.log = folder / "server.txt"
        self.port = free_port()
        self.address = f"http://localhost:{self.port}"
        self._server: subprocess.Popen[bytes] | None = None
        if not self.data.exists():
            self.run("init", "--name", "Workshop at the Weir", data=True)

    def run(self, *words: str, data: bool = False, code: int = 0) -> str:
        """Run `twoturns WORDS`, which is to exit with `code`, and return what it prints."""
        named = ["--data", str(self.data)] if data else []
        done = CliRunner().invoke(main, [*words, *named])
        assert done.exit_code == code, (
            f"twoturns {' '.join(words)}: {done.output}{done.exception!r}"
        )
        return done.stdout

    def publish(self, demo: str) -> None:
        """Publish a procedure of the demo. By the store: the command line would prove it again."""
        publish_by_right(Store(self.data), loaded(demo), datetime.now(UTC))

    def invite(self, role: str, name: str) -> str:
        """Return the link of an invitation."""
        words = ["enrol", "--role", role, "--name", name, "--base-url", self.address]
        return self.run(*words, data=True).strip()

    def register_tools(self) -> None:
        """State what the workshop measures with, each checked a month ago and good for a year."""
        today = datetime.now(UTC).date()
        on, due = today - timedelta(days=30), today + timedelta(days=335)
        for kind, tool, label, low, high, unit in TOOLS:
            registered = {"tool": tool, "type": kind, "label": label}
            self.state("tool.registered", {**registered, "low": low, "high": high, "unit": unit})
            self.state("tool.calibrated", {"tool": tool, "on": str(on), "due": str(due)})

    def state(self, kind: str, body: dict[str, Any]) -> None:
        """Sign a statement with the workshop's key, as the console does."""
        Store(self.data).ledger.state(kind, body, datetime.now(UTC))

    def start(self) -> None:
        """Serve; returns once the server answers. What it prints goes to a file of its own."""
        assert self._server is None, "the server runs already"
        words = ["serve", "--port", str(self.port), "--data", str(self.data)]
        self.heard[:] = [*(one for one in self.heard if one is not self), self]
        with self.log.open("ab") as out:
            self._server = subprocess.Popen(
                [*COMMAND, *words],
                stdin=subprocess.DEVNULL,
                stdout=out,
                stderr=subprocess.STDOUT,
                env=environment(),
                start_new_session=True,
            )
        until = time.monotonic() + PATIENCE_S
        while not self._answers():
            alive = self._server.poll() is None and time.monotonic() < until
            assert alive, f"no server:\n{self.log.read_text()}"
            time.sleep(0.05)

    def kill(self) -> None:
        """End the server and its workers at once, as a pulled plug would."""
        if self._server is not None:
            os.killpg(self._server.pid, signal.SIGKILL)
            self._server.wait()
            self._server = None

    @property
    def is_running(self) -> bool:
        return self._server is not None

    def _answers(self) -> bool:
        try:
            url = f"{self.address}/api/workshop"
            with urllib.request.urlopen(url, timeout=2) as answer:  # noqa: S310 - our own server
                return answer.status == 200
        except OSError:
            return False


def environment() -> dict[str, str]:
    return {**os.environ, "PYTHONPATH": str(SERVER)}


@contextmanager
def serving(folder: Path) -> Iterator[ServedWorkshop]:
    """A workshop with tools and no procedure, serving."""
    served = ServedWorkshop(folder)
    served.register_tools()
    served.start()
    yield served
    served.kill()
