"""Who and what a new edition of a procedure concerns: who worked by it, and the jobs that do."""

from dataclasses import dataclass

from twoturns.ledger import private
from twoturns.ledger.errors import LedgerError
from twoturns.store.store import Store


@dataclass(frozen=True)
class OpenJob:
    """A job that goes by an edition, and goes on by it whatever is published. `begun`: ISO 8601."""

    job: str
    edition: int
    engine_code: str | None
    bay: str | None
    begun: str


@dataclass(frozen=True)
class AtWork:
    """
    What goes, or went, by any edition of a procedure.

    Args:
        open_jobs: The jobs that are not ended, the oldest first.
        persons: The ids of those who worked by it and have a device that is not revoked.
        closed: How many jobs are ended.
    """

    open_jobs: tuple[OpenJob, ...]
    persons: tuple[str, ...]
    closed: int


def at_work(store: Store, procedure: str) -> AtWork:
    """Return what goes by any edition of a procedure, named by its id."""
    rows = store.views.jobs_by(procedure)
    is_open = [row for row in rows if row["is_open"]]
    return AtWork(
        tuple(
            OpenJob(
                row["job"], row["edition"], row["engine_code"], row["bay"], row["first_received"]
            )
            for row in is_open
        ),
        tuple(store.views.workers_by(procedure)),
        len(rows) - len(is_open),
    )


def names_of_persons(store: Store) -> dict[str, str]:
    """Return each person's latest name by the id; one that was erased is not among them."""
    names = {}
    for record in store.ledger.statements("person.named"):
        said = record.entry.body
        data = store.blobs.read(said["name"]["blob"], private.MAX_BYTES)
        try:
            names[said["person"]] = private.read(data or b"").value
        except LedgerError:
            names.pop(said["person"], None)
    return names
