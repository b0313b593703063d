"""What is given out of the ledger, page by page: records, standings, and what proves them."""

import threading
from dataclasses import dataclass

from twoturns.ledger.bodies import EDITION
from twoturns.ledger.roster import Roster
from twoturns.store.book import KnownNodes, signed_head, size_of
from twoturns.store.check import checked_proof
from twoturns.store.errors import AppTooOld
from twoturns.store.keyring import Keyring
from twoturns.store.port import Database, Row, rows_of
from twoturns.store.sight import AnySight, shown_by
from twoturns.store.stored import stored
from twoturns.store.transactions import statements_from
from twoturns.store.views import seen_by


@dataclass(frozen=True)
class Page:
    """
    Records from an index on; `next` is where to go on. With an acceptance (`work.accepted`) come
    the records of a revoked device that it released, whose indices are below.

    `standings` has every record of the page that is not good, and every earlier entry whose
    standing a record in the page's span changed. `proof` covers all records of the page.
    """

    records: list[tuple[int, str]]
    next: int
    more: bool
    checkpoint: str
    proof: list[bytes]
    standings: dict[str, str]


class Pages:
    """The ledger as it is read from an index on."""

    def __init__(self, database: Database, keyring: Keyring, workshop: str) -> None:
        self._database, self._keyring, self._workshop = database, keyring, workshop
        self._first_edition: tuple[int, Roster] | None = None
        self._first_editions_turn = threading.Lock()

    def page(
        self,
        since: int,
        *,
        limit: int,
        sight: AnySight | None = None,
        job: str | None = None,
        edition: int = EDITION,
    ) -> Page:
        """
        Return records from an index on: all a sight shows, or one job's.

        Apps of the first edition throw away a page in which they cannot read a record, so they are
        given what they can read and verify. Later ones keep what they do not know.

        Raises:
            AppTooOld: If an app of this edition does not know the key that signs for the workshop.
        """
        with self._database.read() as db:
            head = size_of(db)
            where = {"since": since, "limit": limit + 1, "job": job, **seen_by(sight)}
            sees = _sees(sight, job)
            rows = rows_of(db, _records(sight, job), where)
            more = len(rows) > limit
            if more:
                # What an acceptance released has its place, and goes with it: a page ends after it.
                upto = rows[limit - 1]["shown"] + 1
                at = f'{_RECORDS} where shown = :shown {sees} order by entries."index"'
                released = rows_of(db, at, {**where, "shown": upto - 1})
                rows = [row for row in rows if row["shown"] < upto - 1] + released
            else:
                upto = max(since, head)
            key = self._keyring.signer(db)
            odd = [row for row in rows if row["standing"] != "good"]
            if edition == 1:
                rows = self._readable_at_first(rows, key.key)
            changed = rows_of(db, f"{_RESTOOD} {sees} order by id", {**where, "upto": upto})
            tree = KnownNodes(db).proving(head, [row["index"] for row in rows])
            return Page(
                [(row["index"], row["record"]) for row in rows],
                upto,
                more,
                signed_head(key, self._workshop, tree),
                checked_proof(tree, {row["index"]: row["record"] for row in rows}),
                {row["id"]: row["standing"] for row in odd + changed},
            )

    def _readable_at_first(self, rows: list[Row], key: str) -> list[Row]:
        """Return the records that an app of the first edition can read, by keys that it knows."""
        roster = self._roster_of_the_first_edition()
        if roster.workshop_key != key:
            raise AppTooOld
        said = [(row, stored(row["index"], row["record"]).entry) for row in rows]
        return [row for row, one in said if one.edition == 1 and roster.key_of(one) is not None]

    def _roster_of_the_first_edition(self) -> Roster:
        with self._first_editions_turn:
            start, roster = self._first_edition or (0, Roster(self._workshop))
            for index, said in statements_from(self._database, start):
                if said.edition == 1:
                    roster.apply(index, said)
                start = index + 1
            self._first_edition = (start, roster)
            return roster


def _sees(sight: AnySight | None, job: str | None) -> str:
    """Return the condition on entries: one job's, or all that a sight shows."""
    if job is not None:
        return " and job = :job"
    if sight is None:
        return ""
    return f" and (({sight.statements}) or {shown_by(sight, 'entries.job')})"


def _records(sight: AnySight | None, job: str | None) -> str:
    """
    Return the query for records from a place on, in order. Of a sight that lists its jobs it asks
    each of them, and so not for how much is held of others.
    """
    if job is None and sight is not None and sight.listed is not None:
        return _RECORDS_OF_LISTED.format(statements=sight.statements, listed=sight.listed)
    return f"{_RECORDS} where shown >= :since {_sees(sight, job)} {_IN_ORDER}"


_RECORDS = """
select entries."index", records.id, record, shown, standing
from entries join records using ("index")
"""
_IN_ORDER = ' order by shown, entries."index" limit :limit'
_RECORDS_OF_LISTED = """
select entries."index", id, record, shown, standing from (
    select * from (select "index", shown, standing from entries
        where {statements} and shown >= :since order by shown, "index" limit :limit) as stated
    union all select * from (select entries."index", shown, standing from ({listed}) as seen
        cross join entries where entries.job = seen.job
        and shown >= :since order by shown, "index" limit :limit) as shown_of
) as entries join records using ("index") order by shown, entries."index" limit :limit
"""
_RESTOOD = """
select id, standing from entries where standing_at >= :since and standing_at < :upto
    and standing_at > "index" and "index" < :since and shown is not null
"""
