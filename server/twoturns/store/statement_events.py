"""The security events that statements are, told once their records are on the disk (`events`)."""

from collections.abc import Iterator, Mapping
from typing import Any, Final

from twoturns.store.events import is_heard, tell
from twoturns.store.port import Database
from twoturns.store.stored import stored

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
    "device.named": ("device",),
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


def tell_statements(database: Database, start: int, end: int) -> None:
    """Write the events that records from one index up to another are, once they are on the disk."""
    if end > start and is_heard():
        for event, facts in _statements(database, start, end):
            tell(event, **facts)


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
