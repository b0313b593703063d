"""
When devices signed in last. Neither truth nor view: it is written as a device signs in, and losing
it costs nothing but that one does not know until it signs in anew. An older folder has no table of
it before somebody does.

A backup has them in a file beside its ledger (`FILE`): else who puts a workshop back is told of
each phone which only reads that it no longer calls. They say no more of a person than the ledger,
which names each device and when its entries came in, and no erasure is to reach them.
"""

import json
from pathlib import Path
from typing import Final

from twoturns.ledger import forms
from twoturns.ledger.forms import is_formed
from twoturns.store.port import Connection, Database, Row

FILE: Final = "contacts.json"
TABLE: Final = """
create table if not exists contacts (
    device text primary key, at text not null) strict, without rowid
"""


def note(db: Connection, device: str, at: str) -> None:
    """Write that a device signs in, within the transaction that lets it."""
    db.execute(TABLE)
    db.execute(_NOTE, [device, at])


def last_contacts(database: Database) -> list[Row]:
    """Return of each device that ever enrolled when it signed in last, and when something came."""
    has_any = database.has_table("contacts")
    return database.rows(_LAST.format(contacts="contacts" if has_any else _NONE))


def as_file(database: Database) -> bytes | None:
    """Return what a backup keeps: JSON, each device with when it signed in last; None if none."""
    has_any = database.has_table("contacts")
    rows = database.rows("select device, at from contacts order by device") if has_any else []
    return json.dumps({row["device"]: row["at"] for row in rows}).encode() if rows else None


def read_file(path: Path) -> dict[str, str] | None:
    """Return what a backup kept; None if there is none, or it is not what was written."""
    try:
        said = json.loads(path.read_bytes())
    except (OSError, ValueError, RecursionError):
        return None
    is_whole = isinstance(said, dict) and all(
        is_formed(device, forms.KEY) and is_formed(at, forms.AT) for device, at in said.items()
    )
    return said if is_whole else None


_NOTE = """
insert into contacts values (?, ?) on conflict (device) do update set
    at = case when excluded.at > contacts.at then excluded.at else contacts.at end
"""
_NONE = "(select null as device, null as at) as contacts"
_LAST = """
select devices.device, contacts.at as signed_in,
    (select max(received) from (select received from entries
        where entries.device = devices.device order by seq desc limit 5) as newest) as sent
from devices left join {contacts} on contacts.device = devices.device
order by devices.device
"""
