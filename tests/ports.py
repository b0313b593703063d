"""A port for a test's own server."""

import itertools
import os
import socket

# Below those that the system gives to whoever calls out (from 32,768 on): a server that is killed
# and started again must find its port free, whatever other tests do meanwhile.
FIRST, MANY = 20_000, 12_000
_numbers = itertools.count(os.getpid())
# Each port is claimed by a datagram socket of its number, for as long as this process lives: no
# other process is given it, of this run or of another beside it, and servers do not mind it.
_claims: list[socket.socket] = []


def free_port() -> int:
    """Return a port that nobody listens on, and that no other process of tests is given."""
    for number in itertools.islice(_numbers, MANY):
        port = FIRST + number % MANY
        if _claim(port) and _is_free(port):
            return port
    raise OSError("no port is free")


def _claim(port: int) -> bool:
    claim = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
    try:
        claim.bind(("127.0.0.1", port))
    except OSError:
        claim.close()
        return False
    _claims.append(claim)
    return True


def _is_free(port: int) -> bool:
    with socket.socket() as probe:
        try:
            probe.bind(("127.0.0.1", port))
        except OSError:
            return False
    return True
