"""
A ledger's server that fails, with a synchronous standby beside it: what was acknowledged is there,
what was not confirmed was not, and a primary that is no longer one signs nothing.
"""

import threading
from contextlib import closing

import pytest

from postgres import Pair, Server, alone, replicated, running
from twoturns.store import Store, postgres_links
from twoturns.store.errors import OutcomeUnknown, StoreError, WorkshopAway
from twoturns.store.ledger_url import VARIABLE
from workshop import Workshop, uuid7

pytestmark = [pytest.mark.slow(15), pytest.mark.embedded("it says itself where its workshops lie")]


@pytest.fixture
def open_shop(tmp_path, monkeypatch):
    """Make a workshop whose ledger lies on a server."""

    def make(url: str) -> Workshop:
        monkeypatch.setenv(VARIABLE, url)
        return Workshop(tmp_path / "data")

    yield make
    postgres_links.close_pools()


def wait_for(standby: str, server: Server) -> None:
    """Have commits wait for a standby of that name: of one that is not there, for ever."""
    server.ask(f"alter system set synchronous_standby_names = '{standby}'")
    server.ask("select pg_reload_conf()")
    while waits(server) != bool(standby):
        pass


def waits(server: Server) -> bool:
    """Say whether a commit waits now, and end its wait."""
    import psycopg

    with closing(psycopg.connect(server.admin_url, autocommit=True)) as connection:
        connection.pgconn.send_query(b"select pg_logical_emit_message(true, '', '')")
        while connection.pgconn.is_busy():
            if server.ask(_END_WAIT) != (0,):
                return True
            connection.pgconn.consume_input()
    return False


def ids(store: Store) -> set[str]:
    return {row["id"] for row in store.database.rows("select id from records")}


def test_nothing_that_was_acknowledged_is_lost_with_the_primary_and_phones_go_on(open_shop):
    with replicated() as pair:
        fail_over(open_shop(pair.url), pair)


def fail_over(shop: Workshop, pair: Pair) -> None:
    assert shop.store.database.has_standby()
    phones = [shop.enrol("mechanic") for _ in range(2)]
    kept, has_begun, goes_on = [], threading.Event(), threading.Event()

    def send(phone) -> None:
        for _ in range(1_000):
            said = phone.write("job.taken", {}, uuid7())
            while True:  # as a phone does, until it is heard
                try:
                    shop.push(said)
                    break
                except StoreError as error:
                    assert error.code in ("workshop-away", "workshop-locked")  # noqa: PT017 - goes on else
            kept.append(said.id)
            if len(kept) > 20:
                has_begun.set()
            if goes_on.is_set():
                return

    threads = [threading.Thread(target=send, args=[phone]) for phone in phones]
    for one in threads:
        one.start()
    assert has_begun.wait(60)
    pair.primary.kill()
    before = set(kept)
    pair.standby.promote()
    wait_for("", pair.standby)
    goes_on.set()
    for one in threads:
        one.join()
    assert before <= set(kept) <= ids(shop.store)
    assert len(kept) == len(set(kept)) > len(before)
    shop.store.look_over()
    again = Store(shop.folder)
    assert again.ledger.checkpoint() == shop.store.ledger.checkpoint()


def test_what_no_standby_confirmed_is_neither_acknowledged_nor_shown(open_shop, monkeypatch):
    """Nor is a primary asked that came up again alone: another may be it by now."""
    with alone() as server:
        shop = open_shop(server.url)
        phone, schema = shop.enrol("mechanic"), shop.store.database.schema
        size, head = shop.store.ledger.size(), shop.store.ledger.checkpoint()
        wait_for("gone", server)
        said = phone.write("job.taken", {}, uuid7())
        with monkeypatch.context() as soon:
            soon.setattr(postgres_links, "WAIT_SECONDS", 0.5)
            with pytest.raises(OutcomeUnknown):
                shop.push(said)
        # The server waits on by itself. Until it need not, nobody is shown what it holds.
        assert (shop.store.ledger.size(), shop.store.ledger.checkpoint()) == (size, head)
        server.kill()
        with running(server.folder) as again:
            assert again.ask(f"select count(*) from {schema}.records") == (size + 1,)
            monkeypatch.setenv(VARIABLE, again.url)
            with monkeypatch.context() as soon:
                soon.setattr(postgres_links, "CONNECT_SECONDS", 0.5)
                with pytest.raises(WorkshopAway):
                    Store(shop.folder)
            wait_for("", again)
            shop.store = Store(shop.folder)
            assert shop.push(said).indices == {said.id: size}
            assert shop.store.ledger.size() == size + 1


def test_a_commit_whose_wait_somebody_ends_at_the_server_is_told_as_unknown(open_shop):
    """It counts there alone then, and PostgreSQL says that it was committed."""
    with alone() as server:
        shop = open_shop(server.url)
        phone = shop.enrol("mechanic")
        wait_for("gone", server)
        failed: list[Exception] = []

        def push() -> None:
            try:
                shop.push(phone.write("job.taken", {}, uuid7()))
            except StoreError as error:
                failed.append(error)

        thread = threading.Thread(target=push)
        thread.start()
        while server.ask(_END_WAIT) == (0,):
            pass
        thread.join()
        assert [type(one) for one in failed] == [OutcomeUnknown]


_END_WAIT = """
select count(pg_cancel_backend(pid)) from pg_stat_activity where wait_event = 'SyncRep'
"""
