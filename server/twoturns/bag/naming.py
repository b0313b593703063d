"""What the file of a bag is called: by the plate, where it is disclosed, and the day of the job."""

import re
from collections.abc import Collection

from twoturns.bag import layout
from twoturns.bag.evidence import Evidence
from twoturns.ledger import private
from twoturns.ledger.errors import LedgerError
from twoturns.ledger.record import Record

_MOST_OF_PLATE = 24


def name_of(evidence: Evidence) -> str:
    """Return the name of a bag's file without its ending, as `named` does."""
    opened = next(
        one for _, one in evidence.records if one.entry.job == evidence.job and _opens(one)
    )
    return named(_plate(evidence, opened), evidence.job, opened.received[:10])


def named(plate: str | None, job: str, day: str) -> str:
    """
    Return a file's name for a job that came in on a day.

    A plate keeps its letters and figures. Without one the code of the job stands there, the last
    eight digits of its id.

    >>> named("WEIR 12", "01935f2a-7c00-7000-8000-0000deadbeef", "2026-11-24")
    'WEIR-12_2026-11-24'
    >>> named(None, "01935f2a-7c00-7000-8000-0000deadbeef", "2026-11-24")
    'job-dead-beef_2026-11-24'
    """
    said = "-".join(re.findall(r"[^\W_]+", plate or ""))[:_MOST_OF_PLATE]
    return f"{said or f'job-{job[-8:-4]}-{job[-4:]}'}_{day}"


def apart(name: str, taken: Collection[str]) -> str:
    """
    Return a name that is not taken: the same vehicle may come twice a day.

    >>> apart("WEIR-12_2026-11-24", ["WEIR-12_2026-11-24"])
    'WEIR-12_2026-11-24_2'
    """
    if name not in taken:
        return name
    return next(new for n in range(2, len(taken) + 2) if (new := f"{name}_{n}") not in taken)


def _opens(record: Record) -> bool:
    return record.entry.kind == "job.opened"


def _plate(evidence: Evidence, opened: Record) -> str | None:
    file = evidence.files.get(layout.blob_name(opened.entry.body["plate"]["blob"]))
    if file is None:
        return None
    with file() as stream:
        try:
            return private.read(stream.read()).value
        except LedgerError:
            return None
