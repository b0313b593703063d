"""
A workshop whose ledger lies on a PostgreSQL server: made, written to, made anew, backed up and put
back into either engine, with the same rows and the same root as in its folder.
"""

import itertools
import os
import re
import shutil
import threading
from pathlib import Path

import pytest
from click.testing import CliRunner

from busy_week import a_busy_week
from postgres import PASSWORD, ROLE
from postgres_plans import SETTINGS
from twoturns.cli import main
from twoturns.ledger.tree import Tree
from twoturns.store import Store, book, ledger_url, postgres_links, projector
from twoturns.store.accept_loss import accept
from twoturns.store.backup import back_up
from twoturns.store.book import Nodes, size_of
from twoturns.store.bundles import publish
from twoturns.store.database import Database as FileDatabase
from twoturns.store.errors import NotAWorkshop, RecordsLost, StoreError
from twoturns.store.generations import read_ledger
from twoturns.store.ledger_copy import write_ledger
from twoturns.store.ledger_url import VARIABLE, place_of, read
from twoturns.store.restore import restore
from workshop import NOON, Workshop, opening, private_value, tiny_bundle, uuid7

pytestmark = [pytest.mark.slow(20), pytest.mark.embedded("it says itself where its workshops lie")]

_numbers = itertools.count()
TABLES = (*re.findall(r"create table if not exists (\w+)", book.SCHEMA), *projector.TABLES)


@pytest.fixture
def url(postgres, monkeypatch):
    """The server, and a schema that nobody has: as the environment says."""
    said = f"{postgres.url}?schema=server_{next(_numbers)}"
    monkeypatch.setenv(VARIABLE, said)
    return said


@pytest.fixture
def shop(url, tmp_path) -> Workshop:
    return Workshop(tmp_path / "data")


@pytest.fixture
def anew(postgres):
    """Where another workshop has its place on the server."""
    return lambda: f"{postgres.url}?schema=anew_{next(_numbers)}"


def all_rows(store: Store) -> dict[str, list]:
    """Return every row of the truth and of the views, in no order that hangs on the engine."""
    return {
        name: sorted(map(repr, store.database.rows(f"select * from {name}"))) for name in TABLES
    }


def rows_in(path: Path, size: int) -> tuple[list, list]:
    """Return the records of a ledger's file up to a size, and the nodes above them."""
    with read_ledger(path) as db:
        records = db.execute('select * from records where "index" < ? order by 1', [size])
        nodes = db.execute("select * from nodes order by 1, 2").fetchall()
        return records.fetchall(), [row for row in nodes if row[1] < size >> row[0]]


def root(store: Store) -> bytes:
    with store.database.read() as db:
        return Tree(Nodes(db), size_of(db)).root()


def opened(shop: Workshop, folder, url: str | None = None) -> Store:
    """Open a folder that was put back, with the key that was kept apart."""
    shutil.copy(shop.folder / "workshop.key", folder)
    return Store(folder, ledger=url)


def test_its_folder_has_the_key_and_says_where_the_ledger_is_but_no_password(shop):
    held = {path.name for path in shop.folder.iterdir()}
    assert {"workshop.key", "ledger.url"} <= held
    assert "ledger.db" not in held
    said = (shop.folder / "ledger.url").read_text()
    assert PASSWORD not in said
    assert re.fullmatch(
        r"postgresql://twoturns@127\.0\.0\.1:\d+/twoturns\?schema=server_\d+\n", said
    )


def test_another_process_has_all_that_was_written(shop):
    a_busy_week(shop)
    again = Store(shop.folder)
    assert again.ledger.checkpoint() == shop.store.ledger.checkpoint()
    assert all_rows(again) == all_rows(shop.store)


def test_views_made_anew_are_those_that_grew(shop):
    a_busy_week(shop)
    before = all_rows(shop.store)
    assert shop.store.rebuild() == []
    assert all_rows(shop.store) == before


def test_views_of_another_program_are_made_anew_as_the_folder_is_opened(shop):
    a_busy_week(shop)
    before = all_rows(shop.store)
    with shop.store.database.write() as db:
        db.execute("update views_made set version = 'another'")
        db.execute("drop table finders")
    assert all_rows(Store(shop.folder)) == before


def test_it_is_backed_up_and_put_back_into_a_folder(shop, tmp_path, monkeypatch):
    a_busy_week(shop)
    before = all_rows(shop.store)
    size = back_up(shop.store, tmp_path / "backup", NOON).size
    monkeypatch.delenv(VARIABLE)
    restored = restore(tmp_path / "backup", tmp_path / "new")
    assert (restored.size, restored.missing) == (size, ())
    there = opened(shop, tmp_path / "new")
    assert all_rows(there) == before
    assert (tmp_path / "new" / "ledger.db").is_file()


def test_a_workshop_of_a_folder_is_put_back_onto_a_server(tmp_path, anew):
    shop = Workshop(tmp_path / "data")
    a_busy_week(shop)
    before, head = all_rows(shop.store), root(shop.store)
    back_up(shop.store, tmp_path / "backup", NOON)
    url = anew()
    restore(tmp_path / "backup", tmp_path / "new", ledger=url)
    there = opened(shop, tmp_path / "new", url)
    assert (all_rows(there), root(there)) == (before, head)
    assert not list((tmp_path / "new").glob("ledger.[dn]*"))
    assert there.rebuild() == []
    assert there.database.connection().is_marked("backup")  # its first write says so
    there.ledger.state("retention.set", {"days": 400}, NOON)
    kinds = there.database.rows('select kind from entries order by "index" desc limit 3')
    assert [row["kind"] for row in kinds] == ["retention.set", "work.accepted", "work.accepted"]


def test_a_generation_that_grew_is_what_a_whole_copy_would_be(shop, tmp_path):
    target = tmp_path / "backup"
    a_busy_week(shop)
    back_up(shop.store, target, NOON)
    shop.open_job(shop.enrol("mechanic"))
    size = back_up(shop.store, target, NOON).size
    write_ledger(shop.store.database, whole_copy := tmp_path / "whole.db")
    grown, whole = rows_in(target / f"ledger-{size:012d}.db", size), rows_in(whole_copy, size)
    assert grown == whole
    assert len(grown[0]) == size


def test_a_backup_of_another_workshop_is_not_added_to(shop, tmp_path, anew):
    back_up(shop.store, tmp_path / "backup", NOON)
    other = Store.create(tmp_path / "other", "Another", NOON, ledger=anew())
    with pytest.raises(StoreError, match=r"workshop") as refused:
        back_up(other, tmp_path / "backup", NOON)
    assert refused.value.code == "backup-differs"


def test_a_ledger_that_went_back_is_refused_and_can_be_gone_on_with(shop):
    """As when an older copy of the server is served, or a standby that lagged was promoted."""
    phone = shop.enrol("mechanic")
    shop.push(phone.write("job.taken", {}, uuid7()))
    lost = shop.store.ledger.size() - 1
    with shop.store.database.write() as db:
        db.execute('delete from records where "index" = ?', [lost])
        for level in range(lost.bit_length() + 1):
            db.execute("delete from nodes where level = ? and number >= ?", [level, lost >> level])
    with pytest.raises(RecordsLost):  # by who served it all the time
        shop.push(phone.write("job.taken", {}, uuid7()))
    assert shop.store.ledger.size() == lost
    with pytest.raises(RecordsLost):
        Store(shop.folder)
    assert accept(shop.folder) == lost
    again = Store(shop.folder)
    assert again.ledger.size() == lost
    again.ledger.state("retention.set", {"days": 400}, NOON)
    assert again.ledger.size() == lost + 3


def test_a_schema_that_holds_a_workshop_is_not_made_into_another(shop, url, tmp_path):
    with pytest.raises(NotAWorkshop, match="a workshop in the schema"):
        Store.create(tmp_path / "second", "Second", NOON)
    assert Store(shop.folder).ledger.size() == shop.store.ledger.size()


def test_no_workshop_is_made_of_who_logs_in_and_may_read_all(postgres, tmp_path):
    with pytest.raises(StoreError, match="logs in") as refused:
        Workshop(tmp_path / "all", ledger=f"{postgres.url}?schema={ROLE}")
    assert refused.value.code == "bad-ledger-url"


def test_a_folder_is_opened_as_what_it_is_whatever_the_environment_names(
    shop, url, tmp_path, monkeypatch
):
    monkeypatch.setenv(VARIABLE, url.replace("server_", "other_"))
    with pytest.raises(StoreError) as refused:
        Store(shop.folder)
    assert refused.value.code == "other-ledger"
    monkeypatch.setenv(VARIABLE, url.partition("?")[0])
    assert Store(shop.folder).ledger.workshop == shop.store.ledger.workshop


def test_its_statements_join_row_by_row_as_their_plans_are_tested(shop):
    """Else it reads all entries, to hash them, where it is wrong about how many jobs are open."""
    for name, value in SETTINGS.items():
        if name in ("enable_hashjoin", "enable_mergejoin"):
            assert shop.store.database.rows(f"show {name}") == [{name: value}]


def test_an_embedded_workshop_is_not_taken_for_one_on_a_server(tmp_path, anew, monkeypatch):
    shop = Workshop(tmp_path / "data")
    assert isinstance(shop.store.database, FileDatabase)
    monkeypatch.setenv(VARIABLE, anew())
    with pytest.raises(StoreError, match="has its ledger elsewhere: sqlite:"):
        Store(shop.folder)


def test_the_longest_value_that_a_phone_may_sign_is_taken_and_found(shop):
    """An index of PostgreSQL's takes 2,704 bytes a row; SQLite's as many as there are."""
    phone, vin = shop.enrol("mechanic"), "".join(map(chr, range(0x4E00, 0x4E00 + 1290)))
    job = shop.open_job(phone, vin=vin)
    assert [row["job"] for row in shop.store.views.find("vin", vin)] == [job]
    lot = {"step": "fit", "name": "belt", "part": "belt", "lot": vin[:64]}
    assert shop.push(phone.write("part.fitted", lot, job)).refused == []
    assert [row["job"] for row in shop.store.views.find("lot", vin[:64])] == [job]


def test_eight_who_write_at_once_have_one_order_and_lose_nothing(shop):
    phones = [shop.enrol("mechanic") for _ in range(8)]
    said = [[one.write("job.taken", {}, uuid7()) for _ in range(3)] for one in phones]
    stores = [Store(shop.folder) for _ in phones]
    refused: list[object] = []

    def send(store: Store, entries) -> None:
        for one in entries:
            receipt = store.ledger.append([one.line], [], received=NOON, offset_ms=0)
            refused.extend(receipt.refused)

    threads = [threading.Thread(target=send, args=pair) for pair in zip(stores, said, strict=True)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert refused == []
    rows = shop.store.database.rows("select id from records")
    assert {one.id for some in said for one in some} <= {row["id"] for row in rows}
    shop.store.look_over()


@pytest.mark.parametrize(
    "bad",
    [
        "mysql://h/d",
        "postgresql://h/d?schema=A",
        "postgresql://h/d?schema=1;drop",
        "postgresql://h/d?schema=public",
        "postgresql://h/d?schema=pg_catalog",
        "postgresql://[::1/d?schema=s",
        "mysql://more:of/the@h/d",
        "ledger.db",
        "sqlite:x",
    ],
)
def test_an_address_that_is_none_is_told_of_without_its_password(bad):
    with pytest.raises(StoreError) as refused:
        read(bad.replace("://", "://u:secret@"))
    assert refused.value.code == "bad-ledger-url"
    assert "secret" not in str(refused.value)


@pytest.mark.parametrize(
    ("bad", "told"),
    [
        ("?no_such_option=1", "no_such_option"),
        (":port/twoturns?", "port"),
        ("/twoturns?sslmode=perhaps", "sslmode"),
    ],
)
def test_what_libpq_cannot_read_is_told_with_the_file_and_the_option(
    shop, tmp_path, monkeypatch, bad, told
):
    shop.store.close()
    monkeypatch.delenv(VARIABLE)
    path = shop.folder / "ledger.url"
    path.write_text(f"postgresql://twoturns@127.0.0.1{bad}&schema=north\n")
    for command in (["jobs"], ["doctor"], ["serve", "--port", "1"], ["move", "--to", "sqlite:"]):
        said = CliRunner().invoke(main, [*command, "--data", str(shop.folder)])
        assert said.exit_code == 1, said.output
        assert not isinstance(said.exception, StoreError)
        assert told in said.output
        assert str(path) in said.output or told == "sslmode"
    path.write_text("postgresql://twoturns@127.0.0.1/twoturns\n")
    with pytest.raises(StoreError, match=r"names no schema=NAME \(named by .*ledger\.url\)"):
        Store(shop.folder)


def test_of_those_who_make_one_at_the_same_moment_one_does(postgres, tmp_path):
    """The others are told, and nothing of theirs is left, nor anything of the first one changed."""
    url, made, refused = f"{postgres.url}?schema=server_{next(_numbers)}", [], []
    begin = threading.Barrier(5)

    def make(number: int) -> None:
        begin.wait(60)
        try:
            made.append(Store.create(tmp_path / str(number), f"No. {number}", NOON, ledger=url))
        except NotAWorkshop as error:
            refused.append((number, error))

    threads = [threading.Thread(target=make, args=[number]) for number in range(5)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    (first,) = made
    assert len(refused) == 4
    assert {path.name for number, _ in refused for path in (tmp_path / str(number)).iterdir()} == (
        set()
    )
    assert first.ledger.size() == 1
    first.look_over()
    assert Store(first.folder, ledger=url).name == first.name


def test_in_one_folder_one_is_made_at_a_time(tmp_path, monkeypatch):
    monkeypatch.delenv(VARIABLE, raising=False)
    with monkeypatch.context() as meanwhile:
        begin, others = ledger_url.begin, []

        def second(folder, *_):
            with pytest.raises(NotAWorkshop, match="not empty") as refused:
                Store.create(folder, "Second", NOON)
            others.append(refused.value)
            return begin(folder)

        meanwhile.setattr(ledger_url, "begin", second)
        first = Store.create(tmp_path / "data", "First", NOON)
    assert len(others) == 1
    assert (first.name, Store(tmp_path / "data").name) == ("First", "First")


def test_several_hosts_are_kept_as_they_are_named(tmp_path):
    place = read(
        "postgresql://u:secret@a,b:5433/d?schema=s&password=secret&sslpassword=x&sslmode=require"
    )
    assert place is not None
    kept = "postgresql://u@a,b:5433/d?sslmode=require&schema=s"
    assert place.without_password == kept
    (tmp_path / "ledger.url").write_text(f"{kept}\n")
    held = place_of(tmp_path, "postgresql://u:secret@c/d")
    assert held is not None
    assert (held.server, held.schema) == ("postgresql://u:secret@c/d", "s")


def test_commands_work_whole_on_a_server(postgres, tmp_path, monkeypatch):
    def run(*said: str, code: int = 0) -> str:
        result = CliRunner().invoke(main, said)
        assert result.exit_code == code, result.output
        return result.output

    data, new = str(tmp_path / "data"), str(tmp_path / "new")
    schema = f"?schema=server_{next(_numbers)}"
    run("init", "--data", data, "--name", "North", "--ledger", postgres.url + schema)
    assert VARIABLE not in os.environ
    with monkeypatch.context() as elsewhere:  # its password is not in the folder
        elsewhere.delenv("PGPASSWORD")
        postgres_links.close_pools()
        assert "cannot be reached" in run("jobs", "--data", data, code=1)
        elsewhere.setenv(VARIABLE, postgres.url)
        run("jobs", "--data", data)
    assert "http" in run("enrol", "--data", data, "--role", "owner", "--name", "Ada Weir")
    job = _a_job(Store(tmp_path / "data"))
    assert job in run("jobs", "--data", data)
    run("backup", "--data", data, str(tmp_path / "backup"))
    run("rebuild", "--data", data)
    assert "look  the ledger's server has no standby" in run("doctor", "--data", data)
    there = f"{postgres.url}?schema=server_{next(_numbers)}"
    run("restore", str(tmp_path / "backup"), "--data", new, "--ledger", there)
    shutil.copy(tmp_path / "data" / "workshop.key", new)
    bag = tmp_path / "job.zip"
    run("export", "--data", new, job, "--out", str(bag))
    assert "holds" in run("verify", str(bag), "--key", Store(tmp_path / "new").ledger.workshop)


def _a_job(store: Store) -> str:
    shop = Workshop.__new__(Workshop)
    shop.folder, shop.store, shop.now = store.folder, store, NOON
    publish(store, bundle := tiny_bundle(), NOON)
    phone, job, values = shop.enrol("mechanic"), uuid7(), [private_value("vin", "TT1")]
    values.append(private_value("plate", "WEIR 12"))
    said = phone.write("job.opened", opening(*values, bundle=bundle.sha256), job)
    assert shop.push(said, blobs=tuple(values)).refused == []
    return job
