"""
A ledger's server that takes connections and answers nothing, stopped as by SIGSTOP: nobody is held,
what may have been kept is never told as kept or as lost, and all goes on when it speaks again. And
a store of photos that does so (`test_photo_port.py` has one that is stopped).
"""

import socket
import threading
from contextlib import ExitStack, contextmanager, suppress

import pytest

from postgres import alone
from twoturns.store import Store, postgres, postgres_links
from twoturns.store.bucket import Bucket, BucketAt
from twoturns.store.errors import OutcomeUnknown, PhotosAway, WorkshopAway, WorkshopLocked
from twoturns.store.ledger_url import VARIABLE
from workshop import Workshop, clients, uuid7

pytestmark = [pytest.mark.slow(15), pytest.mark.embedded("it stops a server of its own")]

SOON = 0.4


@pytest.fixture(scope="module")
def server():
    """A server of this module's own: it is stopped."""
    with alone() as server:
        yield server


@pytest.fixture
def shop(server, tmp_path, monkeypatch):
    """A workshop there."""
    monkeypatch.setenv(VARIABLE, server.new_ledger())
    yield Workshop(tmp_path / "data")
    postgres_links.close_pools()


@pytest.fixture
def silence(server):
    """Stop the server in here; nobody has much patience then."""

    @contextmanager
    def silence():
        with little_patience():
            server.shut_up()
            try:
                yield
            finally:
                server.speak()

    return silence


@contextmanager
def little_patience():
    waits = postgres_links._within
    with pytest.MonkeyPatch.context() as soon:
        soon.setattr(postgres_links, "_within", lambda gen, s: waits(gen, min(s, SOON)))
        soon.setitem(postgres_links._CONNECTING, "connect_timeout", 2)
        for name in ("WAIT_SECONDS", "CONNECT_SECONDS"):
            soon.setattr(postgres_links, name, SOON)
        yield


def test_who_asks_is_told_so_whatever_is_asked(shop, silence):
    database = shop.store.database
    with silence():
        for _ in range(2):  # on a link that was there, and on none
            with pytest.raises(WorkshopAway):
                database.rows("select 1")
            with pytest.raises(WorkshopAway), database.read():
                pass
            with pytest.raises(WorkshopAway), database.write():
                pass
            with pytest.raises(WorkshopAway):
                database.has_table("records")
        with pytest.raises(WorkshopAway):
            Store(shop.folder)
    assert Store(shop.folder).ledger.size() == shop.store.ledger.size()


@pytest.mark.parametrize("rows", [0, 40])
def test_who_writes_is_told_so_and_nothing_of_it_was_kept(shop, silence, rows):
    """By one statement, and by many that go at once."""
    write = "insert into sessions values (?, ?, ?)"

    def work() -> None:
        with ExitStack() as stack, shop.store.database.write() as db:
            db.execute(write, ["first", "nobody", "2026"])
            stack.enter_context(silence())
            for number in range(rows):
                db.later(write, [f"later {number}", "nobody", "2026"])
            db.execute(write, ["last", "nobody", "2026"])

    with pytest.raises(WorkshopAway) as told:
        work()
    assert not isinstance(told.value, OutcomeUnknown)
    assert shop.store.database.rows("select * from sessions where device = 'nobody'") == []


def test_a_commit_that_nobody_answered_is_neither_told_as_kept_nor_signed_twice(
    shop, silence, monkeypatch
):
    phone = shop.enrol("mechanic")
    said, other = (phone.write("job.taken", {}, uuid7()) for _ in range(2))
    size, newest = shop.store.ledger.size(), (shop.folder / "newest-checkpoint").read_bytes()

    def commit(link: postgres_links.Link) -> None:
        with silence():
            postgres_links.commit(link)

    with monkeypatch.context() as at_commit:
        at_commit.setattr(postgres, "commit", commit)
        with pytest.raises(OutcomeUnknown):
            shop.push(said)
    assert (shop.folder / "newest-checkpoint").read_bytes() == newest
    # What it was told to do before, it does now; the next one waits for that.
    assert shop.push(other).refused == []
    assert shop.push(said).refused == []
    rows = shop.store.database.rows('select id from records order by "index"')
    assert [row["id"] for row in rows[size:]] == [said.id, other.id]
    shop.store.look_over()
    assert Store(shop.folder).ledger.checkpoint() == shop.store.ledger.checkpoint()


def test_requests_are_answered_what_to_do_and_health_says_it(shop, silence):
    phone, owner = shop.enrol("mechanic"), shop.enrol("owner")
    client, desk, anybody = clients(shop)(phone), clients(shop)(owner), clients(shop)(phone)
    assert anybody.get("/api/health").json["is_well"]
    said = phone.write("job.taken", {}, uuid7())
    with silence():
        for answer in (client.push(said), desk.get("/api/jobs"), client.get("/api/log?since=0")):
            assert (answer.status_code, answer.json["code"]) == (503, "workshop-away")
            assert "phones keep what they have" in answer.json["hint"]
            assert int(answer.headers["Retry-After"]) > 0
        health = anybody.get("/api/health")
        assert (health.status_code, health.json["is_well"]) == (503, False)
    assert client.push(said).json["indices"][said.id] > 0
    assert anybody.get("/api/health").json["is_well"]


def test_who_waits_for_another_to_write_waits_once_and_is_told_why(shop, monkeypatch):
    """Not for the turn in this process, and then for a link, and then at the server."""
    phone = shop.enrol("mechanic")
    for name in ("postgres", "transactions"):
        monkeypatch.setattr(f"twoturns.store.{name}.TURN_SECONDS", SOON)
    has_it, let_go = threading.Event(), threading.Event()

    def hold() -> None:
        with Store(shop.folder).database.write():
            has_it.set()
            let_go.wait(60)

    holder = threading.Thread(target=hold)
    holder.start()
    assert has_it.wait(60)
    failed: list[Exception] = []

    def push(said) -> None:
        try:
            shop.push(said)
        except WorkshopLocked as error:
            failed.append(error)

    threads = [
        threading.Thread(target=push, args=[phone.write("job.taken", {}, uuid7())])
        for _ in range(12)  # more than go together
    ]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    let_go.set()
    holder.join()
    assert len(failed) == 12
    assert shop.push(phone.write("job.taken", {}, uuid7())).refused == []


def test_a_door_behind_which_nobody_is_is_told_of(shop, monkeypatch):
    with socket.create_server(("127.0.0.1", 0)) as door, little_patience():
        monkeypatch.setenv(VARIABLE, f"postgresql://127.0.0.1:{door.getsockname()[1]}/twoturns")
        with pytest.raises(WorkshopAway):
            Store(shop.folder)


def test_what_takes_too_long_the_server_ends_unless_it_may(shop):
    database = shop.store.database

    def take(seconds: int) -> None:
        with database.write() as db:
            db.execute("set local statement_timeout = '50ms'")
            db.execute(f"select pg_sleep({seconds})")

    with pytest.raises(WorkshopAway):
        take(60)
    with database.write(is_long=True) as db:
        assert db.execute("show statement_timeout").fetchone() == ("0",)
    with database.write() as db:
        assert db.execute("show statement_timeout").fetchone() == ("20s",)


@pytest.mark.parametrize(
    "ask",
    [
        lambda bucket: bucket.find("one"),
        lambda bucket: bucket.fetch("one"),
        lambda bucket: bucket.put("one", b"1", is_new=True),
        lambda bucket: list(bucket.below("some/")),
        lambda bucket: bucket.erase("one"),
    ],
    ids=["find", "fetch", "put", "list", "erase"],
)
def test_a_store_of_photos_that_says_nothing_is_asked_once(ask, monkeypatch):
    for name in ("WAIT_SECONDS", "CARRY_SECONDS"):
        monkeypatch.setattr(f"twoturns.store.bucket.{name}", SOON)
    with socket.create_server(("127.0.0.1", 0)) as door:
        at = f"http://127.0.0.1:{door.getsockname()[1]}"
        bucket = Bucket(BucketAt(at, "photos", "north/", "us-east-1", "key", "secret"), None)
        with pytest.raises(PhotosAway, match="does not answer"):
            ask(bucket)
        assert asked(door) == 1


def asked(door: socket.socket) -> int:
    """Count who came to a door."""
    door.setblocking(False)
    count = 0
    with suppress(BlockingIOError):
        while True:
            door.accept()[0].close()
            count += 1
    return count
