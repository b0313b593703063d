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
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime
from logging.handlers import WatchedFileHandler
from typing import Any, Final

from twoturns.store.database import Database
from twoturns.store.stored import stored
from twoturns.store.times import as_text

SETTING: Final = "TWOTURNS_SECURITY_LOG"
# The statements that are told, and what of each.
STATEMENTS: Final[Mapping[str, tuple[str, ...]]] = {
    "workshop.keyed": (),
    "recovery.committed": (),
    "rules.began": ("edition",),
    "device.invited": ("role", "person", "until"),
    "device.enrolled": ("invitation",),
    "device.revoked": ("device",),
    "device.shut": ("device",),
    "device.serves": ("device", "persons"),
    "work.accepted": (),
    "work.refused": (),
    "erasure.ordered": ("blobs",),
    "erasure.withdrawn": ("order",),
    "erasure.hastened": ("order",),
    "erasure.ruled": ("delay_days", "blobs_a_day"),
    "blob.erased": ("blob",),
    "bundle.published": ("bundle",),
    "bundle.withdrawn": ("bundle",),
}
_LOG = logging.getLogger("twoturns.security")


def tell(event: str, **facts: object) -> None:
    """Write one event. Nothing is written before `listen`."""
    _LOG.info(event, extra={"facts": facts})


def tell_statements(database: Database, start: int, end: int) -> None:
    """Write the events that records from one index up to another are, once they are on the disk."""
    if end > start and _LOG.isEnabledFor(logging.INFO):
        for event, facts in _statements(database, start, end):
            tell(event, **facts)


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
    _LOG.setLevel(logging.INFO)
    _LOG.propagate = False


class _Lines(logging.Formatter):
    """ASCII alone: no line end and no control character that an asker sent gets through."""

    def format(self, record: logging.LogRecord) -> str:
        at = as_text(datetime.fromtimestamp(record.created, UTC))
        said = {"at": at, "event": record.getMessage(), **record.__dict__["facts"]}
        return json.dumps(said, separators=(",", ":"))


def _statements(database: Database, start: int, end: int) -> Iterator[tuple[str, dict[str, Any]]]:
    for row in database.rows(_NEW, {"start": start, "end": end}):
        said = stored(row["index"], row["record"]).entry
        facts = {name: said.body[name] for name in STATEMENTS[said.kind] if name in said.body}
        by = {"index": row["index"], "by": said.device, "standing": row["standing"]}
        yield said.kind, by | facts


_NEW = f"""
select "index", standing, record from entries join records using ("index")
where "index" >= :start and "index" < :end
    and kind in ({",".join(repr(kind) for kind in STATEMENTS)}) order by "index"
"""  # noqa: S608 - constants only
