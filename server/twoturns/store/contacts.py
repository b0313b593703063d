"""
When devices signed in last. Neither truth nor view: it is written as a device signs in, and losing
it costs nothing but that one does not know until it signs in anew. An older folder has no table of
it before somebody does.
"""

from typing import Final

from twoturns.store.port import Connection, Database, Row

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
