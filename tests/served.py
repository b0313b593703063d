"""The real server on a workshop's folder, in processes of its own."""

import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from ports import free_port
from twoturns.web.serve import PROCESSES

SERVE = """
import sys
from pathlib import Path
from twoturns.web import serve
serve.PROCESSES = int(sys.argv[3])
serve.serve(Path(sys.argv[1]), host="127.0.0.1", port=int(sys.argv[2]), host_names=[])
"""
PATIENCE_S = 120  # beside all other tests: two servers that begin at once took 25


def is_answered(port: int) -> bool:
    try:
        with urllib.request.urlopen(f"http://localhost:{port}/api/health", timeout=5) as answer:
            return answer.status == 200
    except OSError:
        return False


@contextmanager
def served(folder: Path) -> Iterator[int]:
    """Serve a workshop's folder, and give the port."""
    with serving(folder) as (port, _):
        yield port


@contextmanager
def serving(folder: Path, *, processes: int = PROCESSES) -> Iterator[tuple[int, int]]:
    """Serve a workshop's folder, and give the port and the server's process."""
    with beginning(folder, processes=processes) as (port, pid):
        wait_for(port)
        yield port, pid


@contextmanager
def beginning(folder: Path, *, processes: int = PROCESSES) -> Iterator[tuple[int, int]]:
    """As `serving`, and do not wait until it answers."""
    port = free_port()
    asked = [sys.executable, "-c", SERVE, str(folder), str(port), str(processes)]
    with subprocess.Popen(asked) as server:
        try:
            yield port, server.pid
        finally:
            server.terminate()


def wait_for(port: int) -> None:
    """Wait until a server answers."""
    deadline = time.monotonic() + PATIENCE_S
    while not is_answered(port):
        assert time.monotonic() < deadline, "the server does not come up"
        time.sleep(0.1)
