"""
A workshop of years: a ledger as phones and owner would have written it, put on the disk directly.

Each record is linked, numbered and in the tree, and stands in the views as the projector has it;
what is spared is asking the workshop to check each, and to answer, and for most, where nobody asks
for them, signatures (`grown`). `kept` makes one that stays, and
`copied` puts one that is there into another engine, row by row.
"""

import hashlib
import json
import os
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import timedelta
from functools import cache
from pathlib import Path
from typing import Any

import workshop as phones
from twoturns.ledger import base64url
from twoturns.ledger.keys import SigningKey
from twoturns.ledger.record import Record
from twoturns.ledger.tree import Tree, leaf_hash
from twoturns.store import as_text
from twoturns.store.blob_facts import BlobFacts
from twoturns.store.blob_texts import sought
from twoturns.store.book import Nodes, size_of
from twoturns.store.dues import limit_of
from twoturns.store.ids import Ids
from twoturns.store.port import Connection
from twoturns.store.projector import Projector
from twoturns.store.summaries import fill
from twoturns.trade.interval import Interval
from twoturns.trade.job_code import job_code
from workshop import NOON, Phone, Workshop, opening, private_value, publish_tiny, tiny_bundle, uuid7

JOBS_A_DAY = 20
LEFT_OPEN = 100  # the newest jobs
WITH_PLATE = 200  # the newest jobs, whose private values are on the disk
LOT_OF = 25  # jobs
FIRST_LOT = "L0"
BY_MECHANIC = 5  # entries of a job; the owner has one more
MONTHS = 72  # the interval of the tiny procedure
OF_OWNER = "review.approved"
JOBS_AT_ONCE = 2_000
CACHE_KIB = 1 << 19

Values = tuple[bytes, bytes]  # the VIN and the plate of a job, as blobs


@dataclass(frozen=True)
class Grown:
    """A workshop, who works there, and its jobs, the oldest first."""

    workshop: Workshop
    people: dict[str, Phone]
    jobs: list[str]
    blob: str  # of the newest closed job


def grown(folder: Path, jobs: int, *, is_signed: bool = False, **where: str | None) -> Grown:
    """
    Make a workshop (`where`: as its) of so many jobs, its views and its desk made.

    Where signatures are checked, `is_signed` has every record signed by its device. Else those of
    the jobs in between are bytes of chance: to sign millions takes longer than all else.
    """
    workshop = Workshop(folder, **where)
    years = timedelta(days=jobs / JOBS_A_DAY)
    workshop.now = NOON - years - timedelta(days=1)
    people = {who: workshop.enrol(who) for who in ("owner", "mechanic", "auditor")}
    publish_tiny(workshop.store, workshop.now)
    tool = {"tool": "W7", "type": "torque_wrench", "label": "The small wrench"}
    days = {"tool": "W7", "on": "2000-01-01", "due": "2099-01-01"}
    workshop.push(people["owner"].write("tool.registered", tool))
    workshop.push(people["owner"].write("tool.calibrated", days))
    ids = [uuid7() for _ in range(jobs)]
    on_disk = {place: _values(place) for place in range(max(0, jobs - WITH_PLATE), jobs)}
    blobs = [workshop.store.blobs.put(one) for pair in on_disk.values() for one in pair]
    workshop.store.ledger.keep(blobs, workshop.now)
    _Make(workshop, people, ids, on_disk, is_signed).all()
    workshop.now = NOON
    vin, _ = on_disk[jobs - LEFT_OPEN - 1]
    return Grown(workshop, people, ids, hashlib.sha256(vin).hexdigest())


def _values(place: int) -> Values:
    return private_value("vin", f"TT{place:09}"), private_value("plate", f"W{place}")


class _Make:
    """
    Puts the jobs into a workshop: the oldest and the newest ones signed, and taken into the views
    by the projector; of the many in between each as the first one was (`_Copy`).
    """

    def __init__(
        self,
        workshop: Workshop,
        people: dict[str, Phone],
        ids: list[str],
        on_disk: dict[int, Values],
        is_signed: bool,
    ) -> None:
        self._store, self._ids, self._on_disk = workshop.store, ids, on_disk
        self._owner, self._mechanic = people["owner"], people["mechanic"]
        self._bundle = tiny_bundle().sha256
        self._places = Ids()
        self._sign = self._signature if is_signed else _no_signature

    def all(self) -> None:
        connection = self._store.database.connection()
        if connection.is_embedded:  # it would write most pages many times over
            connection.execute(f"PRAGMA cache_size=-{CACHE_KIB}")
            connection.execute("PRAGMA synchronous=OFF")
        many = max(LOT_OF, len(self._ids) - WITH_PLATE)
        self._by_the_projector(range(min(LOT_OF, len(self._ids))))
        for first in range(LOT_OF, many, JOBS_AT_ONCE):
            self._as_the_first(range(first, min(first + JOBS_AT_ONCE, many)))
        self._by_the_projector(range(many, len(self._ids)))
        self._store.database.close()

    def _by_the_projector(self, places: range) -> None:
        store = self._store
        roster, facts = store.ledger.roster(), BlobFacts(store.blobs, reads_late=True)
        with store.database.write(is_long=True) as db:
            self._places.catch_up(db)
            views = Projector(db, roster, facts, self._places)
            said = [one for place in places for one in self._written(place)]
            for index, record in self._in_the_tree(db, said):
                views.apply(index, record)
            views.finish()
        fill(store)

    def _written(self, place: int) -> Iterator[Record]:
        job, at = self._ids[place], self._at(place)
        mechanic, owner = self._mechanic, self._owner
        for kind, body in _bodies(place, self._left(place), self._on_disk.get(place), self._bundle):
            yield Record(at, 0, mechanic.write(kind, body, job, at=at))
        if self._left(place) > LEFT_OPEN:
            owner.heads[job] = mechanic.heads.pop(job)
            yield Record(at, 0, owner.write(OF_OWNER, {}, job, at=at))
            del owner.heads[job]

    def _in_the_tree(self, db: Connection, said: list[Record]) -> list[tuple[int, Record]]:
        nodes = _NewNodes(db)
        tree = Tree(nodes, size_of(db))
        placed = [(tree.append(record.leaf), record) for record in said]
        db.put_rows("records", ((at, one.entry.id, one.text) for at, one in placed))
        db.put_rows("nodes", ((*place, node) for place, node in nodes.new.items()))
        return placed

    def _left(self, place: int) -> int:
        return len(self._ids) - place

    def _at(self, place: int) -> str:
        return as_text(NOON - timedelta(days=self._left(place) / JOBS_A_DAY))

    def _as_the_first(self, places: range) -> None:
        with self._store.database.write(is_long=True) as db:
            self._places.catch_up(db)
            nodes = _NewNodes(db)
            tree = Tree(nodes, size_of(db))
            first = _First(db, self._ids[0])
            rows: dict[str, list[Any]] = {"records": []}
            for place in places:
                job, at = self._ids[place], self._at(place)
                copy = _Copy(first, place, job, at, tree.size, self._sign)
                for index, entry_id, text in copy.entries:
                    tree.append(leaf_hash(text.encode()))
                    self._places.add(entry_id, index)
                rows["records"] += copy.entries
                for table, row in copy.views():
                    rows.setdefault(table, []).append(row)
            rows["nodes"] = [(*place, node) for place, node in nodes.new.items()]
            for table, new in rows.items():
                db.put_rows(table, new)
            self._places.write(db)
        self._mechanic.seq += len(places) * BY_MECHANIC
        self._owner.seq += len(places)

    def _signature(self, said: bytes, *, is_owners: bool) -> bytes:
        return (self._owner if is_owners else self._mechanic).key.sign(said)


def _no_signature(said: bytes, *, is_owners: bool) -> bytes:
    return os.urandom(64)


def _bodies(
    place: int, left: int, values: Values | None, bundle: str
) -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield kind and body of what a mechanic writes of a job."""
    part = {"step": "belt_on", "name": "belt", "part": "belt", "lot": f"L{place // LOT_OF}"}
    torque = {"step": "belt_on", "name": "t", "value": "26.5", "unit": "N·m", "tool": "W7"}
    yield "job.opened", opening(*(values or _values(place)), bundle=bundle)
    yield "part.fitted", part
    yield "reading.taken", torque
    yield "step.done", {"step": "lock_in", "proof": []}
    if left > LEFT_OPEN:
        yield "job.closed", {"end": "finished"}


class _First:
    """The first job, as it stands in the ledger and in the views: the others are made after it."""

    def __init__(self, db: Connection, job: str) -> None:
        self.job, self.views = job, list[tuple[str, list[Any], list[int]]]()
        records = db.execute(_RECORDS_OF, [job]).fetchall()
        self.start, self.named = records[0][0], [index for index, *_ in records]
        self.received = records[0][2][: len("2026-11-24T12:00:00.000Z")]
        self.said = [
            (index, entry_id, text.split(" ", 3)[3], seq, kind == OF_OWNER)
            for index, entry_id, text, seq, kind in records
        ]
        opened = json.loads(self.said[0][2])["body"]
        self.vin, self.plate = opened["vin"]["blob"], opened["plate"]["blob"]
        for blob in (self.vin, self.plate):
            self.views.append(("mentions", [blob, job], []))
        for table in VIEWS_OF_JOBS:
            found = db.execute(f"select * from {table} where job = ?", [job])
            names = [one[0] for one in found.description or ()]
            places = [at for at, name in enumerate(names) if name in PLACES]
            for row in found.fetchall():
                self.views.append((table, list(row), [at for at in places if row[at] is not None]))


_RECORDS_OF = """
select "index", records.id, record, seq, kind from records join entries using ("index")
where job = ? order by "index"
"""
VIEWS_OF_JOBS = ("entries", "jobs", "finders", "workers", "exceptions", "summaries", "dues")
# The columns that say where in the ledger something stands.
PLACES = {"index", "standing_at", "shown", "opened", "closed", "ended", "changed"}
PLACES |= {"first_index", "last_index"}
_SEQ, _KIND = 4, 5  # columns of `entries`


class _Copy:
    """
    A job that is the first one over again, under its own names, days and numbers: as `rebuild` and
    `fill` would make it.
    """

    def __init__(
        self, first: _First, place: int, job: str, at: str, start: int, sign: Callable[..., bytes]
    ) -> None:
        self._first, self._place, self._by = first, place, start - first.start
        self._sign = sign
        vin, plate = (hashlib.sha256(value).hexdigest() for value in _values(place))
        self._names = {
            first.job: job,
            first.received: at,
            first.received[:10]: at[:10],
            first.vin: vin,
            first.plate: plate,
            FIRST_LOT: f"L{place // LOT_OF}",
            sought("code", job_code(first.job)): sought("code", job_code(job)),
            _due(first.received[:10]): _due(at[:10]),
        }
        names = (first.job, first.received, first.vin, first.plate, FIRST_LOT)
        self._in_entries = [*names, first.job]
        self.entries = [self._entry(*one) for one in first.said]

    def _entry(
        self, index: int, entry_id: str, said: str, seq: int, is_owners: bool
    ) -> tuple[Any, ...]:
        """Return index, id and record of the entry that stands in the place of the first's."""
        for old in self._in_entries:
            said = said.replace(f'"{old}"', f'"{self._names[old]}"')
        step = 1 if is_owners else BY_MECHANIC
        said = said.replace(f'"seq":{seq},', f'"seq":{seq + step * self._place},')
        self._names[entry_id] = new_id = hashlib.sha256(said.encode()).hexdigest()
        self._in_entries[-1] = entry_id  # which the next one names
        signature = base64url.encode(self._sign(said.encode(), is_owners=is_owners))
        at = self._names[self._first.received]
        return index + self._by, new_id, f"{at} +0 {signature} {said}"

    def views(self) -> Iterator[tuple[str, list[Any]]]:
        """Yield the rows that it has in each view."""
        for table, row, columns in self._first.views:
            new = [self._names.get(one, one) for one in row]
            for at in columns:
                new[at] += self._by
            if table == "entries":
                new[_SEQ] += self._place * (BY_MECHANIC if new[_KIND] != OF_OWNER else 1)
            elif table == "summaries":
                new[-1] = self._summary(new[-1])
            yield table, new

    def _summary(self, said: str) -> str:
        first = self._first
        for index in first.named:
            said = said.replace(f'_at": {index},', f'_at": {index + self._by},')
            said = said.replace(f'_at": {index}}}', f'_at": {index + self._by}}}')
        lot = self._names[FIRST_LOT]
        return said.replace(f'"{FIRST_LOT}"', f'"{lot}"').replace(
            first.received, self._names[first.received]
        )


@cache
def _due(day: str) -> str:
    limit = limit_of(0, day, Interval(km=1, months=MONTHS)).on
    assert limit is not None
    return limit.isoformat()


def kept(folder: Path, jobs: int, **where: str | None) -> Grown:
    """Give the workshop of so many jobs that lies in a folder, which is made if it is not there."""
    note = folder.with_suffix(".json")
    if not note.is_file():
        made = grown(folder, jobs, is_signed=False, **where)
        people = {
            who: [base64url.encode(phone.key.seed), phone.person, phone.role]
            for who, phone in made.people.items()
        }
        note.write_text(json.dumps({"people": people, "jobs": made.jobs, "blob": made.blob}))
    return opened(folder, note)


def opened(folder: Path, note: Path) -> Grown:
    """Open a workshop that was grown before; `note` says who works there, and its jobs."""
    said = json.loads(note.read_text())
    workshop = Workshop.opened(folder)
    people = {}
    for who, (seed, person, role) in said["people"].items():
        people[who] = phone = Phone(workshop.store.ledger.workshop, person, role)
        phone.key = SigningKey.from_seed(base64url.decode(seed))
        (newest,) = workshop.store.database.rows(_HIGHEST, [phone.id])
        phone.seq = newest["seq"]
    phones.number_from(int(time.time()))  # what is written now has other ids than what is there
    return Grown(workshop, people, said["jobs"], said["blob"])


_HIGHEST = "select max(seq) as seq from entries where device = ?"


class _NewNodes(Nodes):
    """The tree's nodes, put into the database many at once."""

    def __init__(self, db: Any) -> None:
        super().__init__(db)
        self.new: dict[tuple[int, int], bytes] = {}

    def get(self, level: int, number: int) -> bytes:
        return self.new.get((level, number)) or super().get(level, number)

    def put(self, level: int, number: int, node: bytes) -> None:
        self.new[level, number] = node
