"""Serving for real: granian, two processes of one thread each (measured the fastest of ten)."""

from functools import partial
from pathlib import Path

from granian import Granian
from granian.constants import Interfaces
from granian.log import LogLevels

from twoturns.web.app import create_app

PROCESSES = 2
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
        blocking_threads=1,
        websockets=False,
        workers_kill_timeout=STOP_SECONDS,
        log_level=LogLevels.warning,
    ).serve(target_loader=partial(create_app, data, host_names=names), wrap_loader=False)
