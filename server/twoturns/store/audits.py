"""
Whose audit a statement belongs to: of an audit an auditor's device is told what its own persons
stated, and what the workshop answered them.

Another auditor's freezes name jobs, samples and words that are none of his business, and a word
that was read before one's own is given is no word of one's own. The words of another's finding are
not read by their hash either: `words` names them, where nobody had named them before.
"""

from collections.abc import Mapping
from typing import Any, Final

from twoturns.ledger.bodies_of_audits import AUDIT_BODIES
from twoturns.ledger.entry import Entry
from twoturns.store import mentions
from twoturns.store.port import Connection

SCHEMA: Final = """
create table audits (id text primary key, person text not null, words text) strict, without rowid;
create index audits_words on audits(words) where words is not null;
"""
KINDS: Final = tuple(AUDIT_BODIES)


def note(db: Connection, entry: Entry) -> None:
    """
    Note whose audit a statement belongs to: an answer to who found what it answers, all else to who
    wrote it. Its words are read by who sees the job that they are about; of the workshop, by all.
    """
    said: Mapping[str, Any] = entry.body
    words = said["text"]["blob"] if "text" in said else None
    asked = [entry.id, said.get("finding"), entry.kind, entry.person, words, words, words]
    db.execute(_NOTE, asked)
    if words is not None:
        mentions.claim(db, words, said.get("about"))


_NOTE = """
insert into audits
select ?, coalesce((select person from audits where id = ? and ? = 'audit.answered'), ?),
    case when exists (select 1 from mentions where blob = ?
        union all select 1 from held_mentions where blob = ?) then null else ? end
on conflict (id) do nothing
"""
_ITS_PERSONS = "(select person from speaks where device = :device)"
#: The condition on statements: no audit's, or of one of the device's own persons.
OWN: Final = f"""
(kind not in ({", ".join(f"'{kind}'" for kind in KINDS)})
    or (select audits.person from audits where audits.id = entries.id) in {_ITS_PERSONS})
"""  # noqa: S608 - constants only
#: The condition on `:blob`: not the words of another's audit.
READS_OWN: Final = f"""
not exists (select 1 from audits where words = :blob and not audits.person in {_ITS_PERSONS})
"""  # noqa: S608 - constants only
IS_OWN: Final = f"select 1 from audits where id = :id and person in {_ITS_PERSONS}"  # noqa: S608 - constants only
