"""
Recalls on the owner's desk: which stop a job, and what was done in it against one.

`Found` is what a job's log says of it, kept with the job's summary; the recalls are joined to it
each time, so that one of today finds the jobs of years ago. A recall is settled in a job when each
of its parts was replaced or taken over (`procedure.machine.recalled_parts`).
"""

from collections.abc import Iterator, Sequence
from typing import TypedDict

from twoturns.procedure.machine.log import LogEntry
from twoturns.procedure.machine.recalled_parts import in_engine
from twoturns.store.blob_texts import sought
from twoturns.store.desk_order import Notice, notice
from twoturns.store.port import Row
from twoturns.words import t
from twoturns.words.en.store import recalls as words


class Part(TypedDict):
    """A part that is in the engine: its lot as it is compared, and the recalls that are settled."""

    key: str
    borne: list[str]


class Found(TypedDict):
    """What recalls ask of a job. The places of what counts in the ledger; None: not so."""

    parts: list[Part]
    finished_at: int | None
    approved_at: int | None


def found(log: Sequence[LogEntry], finished_at: int | None, approved_at: int | None) -> Found:
    """Return what recalls ask of a job with this log."""
    parts = [
        Part(key=sought("lot", part.lot), borne=[*part.borne, *part.followed])
        for part in in_engine(log)
    ]
    return Found(parts=parts, finished_at=finished_at, approved_at=approved_at)


def notices(job: Found, recalls: Sequence[Row]) -> Iterator[Notice]:
    """Yield the notices of the recalls that stop a job, what was done against them first."""
    standing = [one for one in recalls if _stops(one, job)]
    for recall in standing:
        for code, at in (
            ("closed-against-recall", job["finished_at"]),
            ("approved-against-recall", job["approved_at"]),
        ):
            if at is not None and at > recall["index"]:
                message = words.DONE_AGAINST[code]
                message = t(message, lot=recall["lot"], because=recall["because"])
                yield _notice(code, message, recall)
    for recall in standing:
        message = t(words.LOT_RECALLED, lot=recall["lot"], because=recall["because"])
        yield _notice("lot-recalled", message, recall)


def _notice(code: str, message: str, recall: Row) -> Notice:
    return notice(code, message, lot=recall["lot"], of=recall["id"], until=recall["until"])


def _stops(recall: Row, job: Found) -> bool:
    return any(
        part["key"] == recall["key"] and recall["id"] not in part["borne"] for part in job["parts"]
    )
