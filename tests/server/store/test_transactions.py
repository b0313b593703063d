"""A write transaction holds up every other writer: it opens no file and reads none."""

import sqlite3
import sys
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager

import pytest

from twoturns.store import Store
from twoturns.store.blob_facts import BlobFacts
from twoturns.store.database import Database
from twoturns.store.errors import LineRefused, WorkshopFull
from twoturns.store.newest_checkpoint import Newest
from workshop import NOON, opening, private_value, publish_tiny, ref, uuid7

# Python's own table of audit events: what looks at a file system.
LOOKS = {"open", "os.listdir", "os.scandir", "glob.glob"}


class Watch:
    """Notes each file of a folder that is opened while a write transaction is under way."""

    def __init__(self, folder) -> None:
        self.folder = str(folder)
        self.opened: list[str] = []
        self.transactions = 0
        self._inside = threading.local()

    def hear(self, event: str, args: tuple) -> None:
        is_inside = event in LOOKS and getattr(self._inside, "is_so", False)
        if is_inside and str(args[0]).startswith(self.folder):
            self.opened.append(f"{event} {args[0]}")

    @contextmanager
    def inside(self, transaction):
        with transaction as db:
            self._inside.is_so = True
            self.transactions += 1
            try:
                yield db
            finally:
                self._inside.is_so = False


@pytest.fixture(scope="module")
def hearing():
    """An audit hook stays for as long as the process lives: one, that hears for whoever asks."""
    watches: list[Watch] = []
    sys.addaudithook(lambda event, args: [one.hear(event, args) for one in watches])
    return watches


@pytest.fixture
def watch(workshop, hearing, monkeypatch):
    watch = Watch(workshop.store.folder)
    hearing.append(watch)
    write = Database.write
    monkeypatch.setattr(Database, "write", lambda self, **how: watch.inside(write(self, **how)))
    yield watch
    hearing.remove(watch)


@pytest.mark.embedded("it watches SQLite's connections")
def test_no_transaction_opens_a_file(workshop, watch):
    owner, phone = workshop.enrol("owner"), workshop.enrol("mechanic")
    bundle = publish_tiny(workshop.store)
    values = private_value("vin", "TT 1"), private_value("plate", "W 1")
    job = uuid7()
    said = phone.write("job.opened", opening(*values, bundle=bundle.sha256), job)
    assert workshop.push(said, blobs=values).refused == []
    words = private_value("words", "oily")
    photo = workshop.store.blobs.put(b"a photo")
    workshop.store.ledger.keep([photo], NOON)
    workshop.push(phone.write("note.added", {"text": ref(words)}, job), blobs=(words,))
    order = {"blobs": [photo], "reason": "asked", "basis": "law"}
    workshop.store.ledger.state("blob.erased", {"blob": photo, "reason": "a", "basis": "b"}, NOON)
    workshop.push(owner.write("erasure.ordered", order))
    workshop.store.rebuild()
    assert watch.transactions >= 9
    assert watch.opened == []
    (row,) = workshop.store.views.find("vin", "TT1")
    assert row["job"] == job
    assert [one["id"] for one in workshop.store.views.bundles()] == ["tiny"]


@pytest.mark.embedded("it watches SQLite's connections")
def test_the_watch_would_have_seen_one(workshop, watch):
    with workshop.store.database.write():
        workshop.store.blobs.read("0" * 64)
    assert len(watch.opened) == 1


def test_an_opening_whose_values_came_long_before_is_read_before_it(workshop, watch):
    phone = workshop.enrol("mechanic")
    values = private_value("vin", "TT 2"), private_value("plate", "W 2")
    workshop.push(blobs=values)
    workshop.push(phone.write("job.opened", opening(*values), uuid7()))
    assert watch.opened == []
    assert len(workshop.store.views.find("plate", "W2")) == 1


def test_what_another_process_kept_in_between_is_read_and_the_transaction_begun_anew(
    workshop, watch, monkeypatch
):
    phone = workshop.enrol("mechanic")
    values = private_value("vin", "TT 3"), private_value("plate", "W 3")
    other, read_named, tries = Store(workshop.store.folder), BlobFacts.read_named, []

    def and_then_they_come_in(facts, entries):
        read_named(facts, entries)
        if not tries:
            tries.append("in between")
            other.ledger.append([], [one.decode() for one in values], received=NOON, offset_ms=None)

    monkeypatch.setattr(BlobFacts, "read_named", and_then_they_come_in)
    before = workshop.store.ledger.size()
    said = phone.write("job.opened", opening(*values), uuid7())
    assert workshop.push(said).refused == []
    assert watch.opened == []
    assert len(workshop.store.views.find("vin", "TT3")) == 1
    assert workshop.store.ledger.size() == before + 2  # nothing of the tries that were undone
    kept = rows(workshop)
    workshop.store.rebuild()
    assert rows(workshop) == kept


def test_what_was_erased_in_between_is_not_told(workshop, monkeypatch):
    phone = workshop.enrol("mechanic")
    values = private_value("vin", "TT 4"), private_value("plate", "W 4")
    workshop.push(blobs=values)
    other, read_named, done = Store(workshop.store.folder), BlobFacts.read_named, []

    def and_then_it_goes(facts, entries):
        read_named(facts, entries)
        if not done:
            done.append(True)
            body = {"blob": workshop.store.blobs.put(values[0]), "reason": "a", "basis": "b"}
            other.ledger.state("blob.erased", body, NOON)

    monkeypatch.setattr(BlobFacts, "read_named", and_then_it_goes)
    workshop.push(phone.write("job.opened", opening(*values), uuid7()))
    assert workshop.store.views.find("vin", "TT4") == []
    assert len(workshop.store.views.find("plate", "W4")) == 1
    kept = rows(workshop)
    workshop.store.rebuild()
    assert rows(workshop) == kept


def rows(workshop) -> list[dict]:
    return workshop.store.database.rows("select * from jobs order by job")


@pytest.fixture
def together(workshop):
    """What runs acts by threads that all wait for one turn, and so come into one transaction."""

    def run(*acts):
        transactions, facts = workshop.store.transactions, BlobFacts(workshop.store.blobs)
        with ThreadPoolExecutor(len(acts)) as pool:
            transactions._is_led = True
            done = [pool.submit(transactions.run, act, facts, NOON) for act in acts]
            while len(transactions._waiting) < len(acts):
                time.sleep(0.001)
            transactions._end_leading([])
            return done

    return run


def stating(days):
    return lambda book: book.state("retention.set", {"days": days})


def days_stated(workshop):
    return [one.entry.body["days"] for one in workshop.store.ledger.statements("retention.set")]


@pytest.mark.embedded("it watches SQLite's connections")
def test_what_waits_for_one_turn_goes_in_one_transaction(workshop, watch, together):
    done = together(*map(stating, (1, 2, 3)))
    indices = [one.result()[0] for one in done]
    assert watch.transactions == 1
    texts = [workshop.store.ledger.record(index).record for index in indices]
    assert [f'"days":{days}' in text for days, text in zip((1, 2, 3), texts, strict=True)] == [
        True
    ] * 3
    assert sorted(days_stated(workshop)) == [1, 2, 3]
    workshop.store.look_over()
    before = rows(workshop)
    workshop.store.rebuild()
    assert rows(workshop) == before


@pytest.mark.embedded("it holds SQLite's file")
def test_what_comes_while_another_process_writes_goes_in_the_same_transaction(workshop, watch):
    transactions, facts = workshop.store.transactions, BlobFacts(workshop.store.blobs)
    other = sqlite3.connect(workshop.folder / "ledger.db", isolation_level=None)
    other.execute("begin immediate")
    with ThreadPoolExecutor(2) as pool:
        first = pool.submit(transactions.run, stating(1), facts, NOON)
        while not transactions._is_led:
            time.sleep(0.001)
        while transactions._waiting:  # taken by who leads, and waits for the file
            time.sleep(0.001)
        second = pool.submit(transactions.run, stating(2), facts, NOON)
        while not transactions._waiting:
            time.sleep(0.001)
        other.execute("rollback")
        assert [one.result()[1].body["days"] for one in (first, second)] == [1, 2]
    assert watch.transactions == 1
    other.close()


def test_who_fails_among_them_fails_alone(workshop, together):
    def fail(book):
        book.state("retention.set", {"days": 77})
        raise LineRefused("not-found", "it is refused")

    first, bad, last = together(stating(1), fail, stating(3))
    with pytest.raises(LineRefused, match="it is refused"):
        bad.result()
    assert {first.result()[1].body["days"], last.result()[1].body["days"]} == {1, 3}
    assert sorted(days_stated(workshop)) == [1, 3]
    workshop.store.look_over()


def test_what_is_on_the_disk_is_not_done_twice(workshop, together, monkeypatch):
    """Each hears that the newest checkpoint could not be written; the statements stand."""
    with monkeypatch.context() as patched:
        patched.setattr(Newest, "write", lambda *_: (_ for _ in ()).throw(WorkshopFull()))
        done = together(stating(1), stating(2))
        assert all(isinstance(one.exception(), WorkshopFull) for one in done)
    assert sorted(days_stated(workshop)) == [1, 2]


def test_more_than_go_together_all_get_their_turn(workshop, together):
    done = together(*map(stating, range(1, 21)))
    assert len({one.result()[0] for one in done}) == 20
    assert sorted(days_stated(workshop)) == list(range(1, 21))
