"""The real server on a workshop's folder, in processes of its own."""

import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from ports import free_port

SERVE = """
import sys
from pathlib import Path
from twoturns.web.serve import serve
serve(Path(sys.argv[1]), host="127.0.0.1", port=int(sys.argv[2]), host_names=[])
"""
PATIENCE_S = 30


def is_answered(port: int) -> bool:
    try:
        with urllib.request.urlopen(f"http://localhost:{port}/api/workshop", timeout=5) as answer:
            return answer.status == 200
    except OSError:
        return False


@contextmanager
def served(folder: Path) -> Iterator[int]:
    """Serve a workshop's folder, and give the port."""
    with serving(folder) as (port, _):
        yield port


@contextmanager
def serving(folder: Path) -> Iterator[tuple[int, int]]:
    """Serve a workshop's folder, and give the port and the server's process."""
    port = free_port()
    with subprocess.Popen([sys.executable, "-c", SERVE, str(folder), str(port)]) as server:
        try:
            deadline = time.monotonic() + PATIENCE_S
            while not is_answered(port):
                assert time.monotonic() < deadline, "the server does not come up"
                time.sleep(0.1)
            yield port, server.pid
        finally:
            server.terminate()
