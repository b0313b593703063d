"""
Security events: one JSON object a line, for those who watch a workshop's computer.

`serve` writes them to stderr; where TWOTURNS_SECURITY_LOG names a file, it and the commands append
them there. They name devices, persons and blobs by id, and addresses. No secret is in one (no
nonce, signature, cookie, key), nor a word that somebody wrote: a reason may be about a person. What
they tell of statements stands in the ledger, which alone is evidence.
"""

import json
import logging
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import UTC, datetime
from logging.handlers import WatchedFileHandler
from typing import Final

from twoturns.store.times import as_text

SETTING: Final = "TWOTURNS_SECURITY_LOG"
_LOG = logging.getLogger("twoturns.security")


# Which workshop of an installation this thread is at; None where there is only one.
_CONCERNED: ContextVar[str | None] = ContextVar("workshop", default=None)


def tell(event: str, **facts: object) -> None:
    """Write one event. Nothing is written before `listen`."""
    name = _CONCERNED.get()
    said = facts if name is None else {"workshop": name, **facts}
    _LOG.info(event, extra={"facts": said})


def concern(workshop: str | None) -> None:
    """Have all that this thread writes from now on name a workshop of an installation."""
    _CONCERNED.set(workshop)


@contextmanager
def of(workshop: str | None) -> Iterator[None]:
    """As `concern`, for a while."""
    before = _CONCERNED.set(workshop)
    try:
        yield
    finally:
        _CONCERNED.reset(before)


def is_heard() -> bool:
    """Whether anything is written: not before `listen`."""
    return _LOG.isEnabledFor(logging.INFO)


def listen(*, to_stderr: bool) -> None:
    """Let this process write its events: to the file of TWOTURNS_SECURITY_LOG, or to stderr."""
    path = os.environ.get(SETTING)
    if not path and not to_stderr:
        return
    handler: logging.Handler
    handler = WatchedFileHandler(path) if path else logging.StreamHandler(sys.stderr)
    handler.setFormatter(_Lines())
    for old in _LOG.handlers[:]:
        _LOG.removeHandler(old)
        old.close()
    _LOG.addHandler(handler)
    for name in ("twoturns", "twoturns.web.app"):  # what goes wrong by a fault of ours
        logging.getLogger(name).addFilter(_NAMED)
    _LOG.setLevel(logging.INFO)
    _LOG.propagate = False


class _Named(logging.Filter):
    """Puts the name of its workshop before a line that tells of a fault."""

    def filter(self, record: logging.LogRecord) -> bool:
        name = _CONCERNED.get()
        if name is not None:
            record.msg = f"{name}: {record.msg}"
        return True


_NAMED: Final = _Named()


class _Lines(logging.Formatter):
    """ASCII alone: no line end and no control character that an asker sent gets through."""

    def format(self, record: logging.LogRecord) -> str:
        at = as_text(datetime.fromtimestamp(record.created, UTC))
        said = {"at": at, "event": record.getMessage(), **record.__dict__["facts"]}
        return json.dumps(said, separators=(",", ":"))
