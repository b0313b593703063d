"""
Serving for real: granian, two processes.

A thread is taken up by a request until its body has come in, and a phone in a bad place sends a
photo for minutes: with one thread each, two such phones would stop the workshop. Threads beyond
the first cost a tenth of the throughput, and go when they are idle. `limits.BODIES` keeps some of
them for requests without a body, whoever sends bodies that do not end.

Nor can such a body be ended from here. A read of granian's waits until what it asks for is there,
and cannot be woken; left to a thread of its own, and answered meanwhile, it stops the whole process
until more comes. So there are many threads, and few for each asker.

A phone that drove off in the middle of a photo never says so: its line would hold a thread for
ever. So the listening socket is given keepalive, which Linux hands on to every line it accepts.
"""

import errno
import logging
import os
import resource
import socket
from collections.abc import Sequence
from contextlib import suppress
from functools import partial
from pathlib import Path

from flask import Flask
from granian import Granian
from granian.constants import Interfaces
from granian.log import LogLevels

from twoturns.store import events
from twoturns.store.errors import StoreError
from twoturns.store.installation import Installation
from twoturns.web import access, duties
from twoturns.web import doors as three_doors
from twoturns.web.app import create_app
from twoturns.web.doors import Doors
from twoturns.web.origin import Network
from twoturns.words import t
from twoturns.words.en.web import serve as words

PROCESSES = 2
THREADS = 64  # in each process, when so many are asked for
# A worker asked to stop while it is still starting does not hear it (seen on a busy machine).
# Ending it by force loses nothing: what was answered is on disk.
STOP_SECONDS = 5
# Six unanswered questions, ten seconds apart, after half a minute of silence: the phone is gone.
KEEPALIVE = {
    (socket.SOL_SOCKET, socket.SO_KEEPALIVE): 1,
    (socket.IPPROTO_TCP, socket.TCP_KEEPIDLE): 30,
    (socket.IPPROTO_TCP, socket.TCP_KEEPINTVL): 10,
    (socket.IPPROTO_TCP, socket.TCP_KEEPCNT): 6,
}


def keep_lines_alive() -> None:
    """
    Have the system ask whether the other end of each line is there, on lines accepted from now on.

    Granian makes its listening socket itself and has no setting for this, so the socket is looked
    for among the process's own.
    """
    for file in Path("/proc/self/fd").iterdir():
        with suppress(OSError), socket.socket(fileno=os.dup(int(file.name))) as one:
            if one.getsockopt(socket.SOL_SOCKET, socket.SO_ACCEPTCONN):
                for (level, option), value in KEEPALIVE.items():
                    one.setsockopt(level, option, value)


class CannotListen(StoreError):
    """The address cannot be listened on."""

    code = "cannot-listen"


def require_free(host: str, port: int) -> None:
    """
    Refuse, before anything is told, an address that cannot be listened on.

    Raises:
        CannotListen: Saying why, and what else may be given.
    """
    try:
        family = socket.AF_INET6 if ":" in host else socket.AF_INET
        socket.create_server((host, port), family=family).close()
    except OSError as error:
        what, hint = _WHY.get(error.errno or 0, (f"{error.strerror}", t(words.GIVE_ANOTHER_PORT)))
        raise CannotListen(f"{host}, port {port}: {what}", hint=hint) from error


_WHY = {
    errno.EADDRINUSE: (
        t(words.PORT_IN_USE),
        t(words.PORT_IN_USE_HINT),
    ),
    errno.EADDRNOTAVAIL: (
        t(words.NO_SUCH_ADDRESS),
        t(words.NO_SUCH_ADDRESS_HINT),
    ),
    errno.EACCES: (
        t(words.PORT_FORBIDDEN),
        t(words.PORT_FORBIDDEN_HINT),
    ),
}


def load(
    data: Path, host_names: list[str], proxies: Sequence[Network], doors: Doors | None = None
) -> Flask:
    """Return the app of one process, which sees to its lines as the first request comes in."""
    events.listen(to_stderr=True)
    _allow_many_files()
    app = create_app(data, host_names=host_names, proxies=proxies)
    if doors is not None:
        three_doors.set_on(app, doors)
    duties.begin(app.extensions["twoturns"], app.config["CLOCK"])
    waiting = [keep_lines_alive] if Path("/proc/self/fd").is_dir() else []

    @app.before_request
    def at_the_first() -> None:
        while waiting:
            waiting.pop()()

    return app


def _allow_many_files() -> None:
    """Ask for as many open files as may be: each thread has some of each workshop."""
    _, most = resource.getrlimit(resource.RLIMIT_NOFILE)
    with suppress(ValueError, OSError):
        resource.setrlimit(resource.RLIMIT_NOFILE, (most, most))


def _is_news(said: logging.LogRecord) -> bool:
    """Leave out granian's doubt about so many threads: they are meant, and why stands above."""
    return "Python threads" not in said.getMessage()


def serve(
    data: Path,
    *,
    host: str,
    port: int,
    host_names: list[str],
    proxies: Sequence[Network] = (),
    doors: Doors | None = None,
) -> None:
    """
    Serve until interrupted. Each process opens the folder for itself.

    Args:
        data: The folder of a workshop, or of an installation.
        host_names: By which a workshop is asked besides this machine's own; of an installation
            those that are served, or all where none is named.
        doors: Of a demo.
    """
    names = host_names if Installation(data).is_one else [*access.OWN_NAMES, *host_names]
    logging.getLogger("_granian").addFilter(_is_news)
    Granian(
        "two turns",
        address=host,
        port=port,
        interface=Interfaces.WSGI,
        workers=PROCESSES,
        blocking_threads=THREADS,
        websockets=False,
        workers_kill_timeout=STOP_SECONDS,
        # One that was killed (for want of memory, by hand) comes back; the other goes on meanwhile.
        # One that dies again within seconds ends the server: that is no accident.
        respawn_failed_workers=True,
        log_level=LogLevels.warning,
    ).serve(target_loader=partial(load, data, names, proxies, doors), wrap_loader=False)
