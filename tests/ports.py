"""A port for a test's own server."""

import itertools
import os
import socket

# Below those that the system gives to whoever calls out (from 32,768 on): a server that is killed
# and started again must find its port free, whatever other tests do meanwhile.
FIRST, EACH = 20_000, 1_000
_WORKER = int(os.environ.get("PYTEST_XDIST_WORKER", "gw0").removeprefix("gw"))
_numbers = itertools.count(os.getpid())


def free_port() -> int:
    """Return a port that nobody listens on, and that no other process of this run is given."""
    for number in itertools.islice(_numbers, EACH):
        port = FIRST + EACH * (_WORKER % 12) + number % EACH
        with socket.socket() as probe:
            try:
                probe.bind(("127.0.0.1", port))
            except OSError:
                continue
            return port
    raise OSError("no port is free")
