"""A job's records as the fold reads them."""

from collections.abc import Sequence

from twoturns.ledger.record import Record
from twoturns.procedure.machine.log import LogEntry

Records = Sequence[tuple[int, Record, str]]  # of a job: index, record, standing


def log_of(records: Records) -> list[LogEntry]:
    """Return the log of a job."""
    return [
        LogEntry(
            id=record.entry.id,
            after=record.entry.after,
            kind=record.entry.kind,
            body=record.entry.body,
            standing=standing,
            person=record.entry.person,
            device=record.entry.device,
        )
        for _, record, standing in records
    ]
