"""The real server, in a process of its own: what the in-process tests cannot ask of it."""

import socket
import subprocess
import sys
import time
import urllib.request
from contextlib import ExitStack

import pytest

SERVE = """
import sys
from pathlib import Path
from twoturns.web.serve import serve
serve(Path(sys.argv[1]), host="127.0.0.1", port=int(sys.argv[2]), host_names=[])
"""
# The head and the first byte of a body that never comes.
BROKEN_OFF = (
    b"POST /api/session/nonce HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
    b"Content-Length: 1000\r\n\r\n{"
)


def is_answered(port: int) -> bool:
    try:
        with urllib.request.urlopen(f"http://localhost:{port}/api/workshop", timeout=5) as answer:
            return answer.status == 200
    except OSError:
        return False


@pytest.fixture
def port(workshop):
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        number = free.getsockname()[1]
    command = [sys.executable, "-c", SERVE, str(workshop.folder), str(number)]
    with subprocess.Popen(command) as server:
        try:
            deadline = time.monotonic() + 30
            while not is_answered(number):
                assert time.monotonic() < deadline, "the server does not come up"
                time.sleep(0.1)
            yield number
        finally:
            server.terminate()


def test_phones_on_a_dead_line_do_not_stop_the_others(port):
    with ExitStack() as stack:
        for _ in range(8):
            line = stack.enter_context(socket.create_connection(("127.0.0.1", port)))
            line.sendall(BROKEN_OFF)
        time.sleep(0.5)
        assert is_answered(port)
