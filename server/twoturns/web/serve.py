"""
Serving for real: granian, two processes.

A thread is taken up by a request until its body has come in, and a phone in a bad place sends a
photo for minutes: with one thread each, two such phones would stop the workshop. Threads beyond
the first cost a tenth of the throughput, and go when they are idle. A server that strangers reach
needs a proxy in front that takes in whole bodies before it passes them on.
"""

from functools import partial
from pathlib import Path

from granian import Granian
from granian.constants import Interfaces
from granian.log import LogLevels

from twoturns.web.app import create_app

PROCESSES = 2
THREADS = 16  # in each process
# A worker asked to stop while it is still starting does not hear it (seen on a busy machine).
# Ending it by force loses nothing: what was answered is on disk.
STOP_SECONDS = 5


def serve(data: Path, *, host: str, port: int, host_names: list[str]) -> None:
    """Serve until interrupted. Each process opens the folder for itself."""
    names = ["localhost", "127.0.0.1", "[::1]", *host_names]
    Granian(
        "two turns",
        address=host,
        port=port,
        interface=Interfaces.WSGI,
        workers=PROCESSES,
        blocking_threads=THREADS,
        websockets=False,
        workers_kill_timeout=STOP_SECONDS,
        log_level=LogLevels.warning,
    ).serve(target_loader=partial(create_app, data, host_names=names), wrap_loader=False)
