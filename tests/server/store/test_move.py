"""
A workshop moved, and back: nothing is lost, nothing is named before it is there, and what breaks a
move off, a kill too, leaves the workshop where it was.
"""

import base64
import itertools
import os
import secrets
import shutil
import signal
import subprocess
import sys

import pytest
from click.testing import CliRunner

from busy_week import a_busy_week
from postgres import PASSWORD
from twoturns.cli import main
from twoturns.ledger import private
from twoturns.store import Store, blob_checks, ledger_url, postgres
from twoturns.store.allowances import Want
from twoturns.store.blob_folder import BlobFolder
from twoturns.store.database import Database as FileDatabase
from twoturns.store.errors import (
    Damaged,
    NotAWorkshop,
    PhotosElsewhere,
    RecordsLost,
    StoreError,
    WorkshopLocked,
    WorkshopMoved,
)
from twoturns.store.ledger_url import VARIABLE
from twoturns.store.move import ALONG, STAYS, moving
from twoturns.store.projector import TABLES
from workshop import NOON, Workshop, rows_of_table, uuid7

pytestmark = [pytest.mark.slow(20), pytest.mark.embedded("it says itself where its workshops lie")]

_numbers = itertools.count()


@pytest.fixture
def shop(tmp_path) -> Workshop:
    """A workshop in its folder, with a week of work, and nobody at it."""
    shop = Workshop(tmp_path / "data", ledger="sqlite:")
    a_busy_week(shop)
    return shop


@pytest.fixture
def server(postgres) -> str:
    """A schema that nobody has."""
    return f"{postgres.url}?schema=moved_{next(_numbers)}"


def left(shop: Workshop):
    """Let go of the workshop, as `serve` does when it ends, and return what it held."""
    held = all_of(shop.store)
    folder = shop.folder
    shop.store.close()
    return folder, held


def all_of(store: Store) -> dict[str, object]:
    """Return all that a workshop is: its head, its rows, its blobs."""
    rows = {name: rows_of_table(store, name) for name in ("records", "nodes", *TABLES)}
    return {"head": store.ledger.checkpoint(), "blobs": list(store.blobs.all()), **rows}


def root_of(held: dict[str, object]) -> str:
    """Return the root that a checkpoint says (C2SP tlog-checkpoint: its third line)."""
    return base64.b64decode(str(held["head"]).splitlines()[2]).hex()


def now_in(folder) -> dict[str, object]:
    store = Store(folder)
    held = all_of(store)
    store.close()
    return held


def run(*args: object):
    return CliRunner().invoke(main, ["move", *map(str, args)], catch_exceptions=False)


def test_to_a_server_and_an_object_store_and_back(shop, server, seaweed, monkeypatch):
    monkeypatch.setenv("AWS_ACCESS_KEY_ID", seaweed.key)
    monkeypatch.setenv("AWS_SECRET_ACCESS_KEY", seaweed.secret)
    folder, held = left(shop)
    there = run("--data", folder, "--to", server, "--to", seaweed.url())
    assert there.exit_code == 0, there.output
    assert now_in(folder) == held
    assert f"Root: {root_of(held)}" in there.output
    assert {"ledger.url", "photos.url"} <= {path.name for path in folder.iterdir()}
    store = Store(folder)
    store.name_person("0193a5b0-0000-7000-8000-000000000009", "Bea Weir", NOON)
    grown = all_of(store)
    store.close()
    # The way back: only what is new is brought, and what was erased meanwhile would not come again.
    back = run("--data", folder, "--to", "sqlite:", "--to", "dir:")
    assert back.exit_code == 0, back.output
    assert f"{len(held['records'])} were there already" in back.output
    assert now_in(folder) == grown
    assert not {"ledger.url", "photos.url"} & {path.name for path in folder.iterdir()}


@pytest.mark.parametrize("at", [0, 1, 2])
def test_a_kill_leaves_it_where_it_was_and_the_same_move_goes_on(shop, server, tmp_path, at):
    folder, held = left(shop)
    killed = f"""
import os, sys
from twoturns.store import move, rebuild
move.PIECE = 20
def die(*_): os.kill(os.getpid(), 9)
told = iter(range(99))
def progress(done, of):
    if {at} < 2 and next(told) == {at}: die()
if {at} == 2: move.ledger_url.note = die  # all is there, and the folder does not say so yet
with move.moving(move.Path(sys.argv[1])) as mover:
    mover.move_ledger(sys.argv[2], progress)
"""
    done = subprocess.run([sys.executable, "-c", killed, str(folder), server], check=False)
    assert done.returncode == -signal.SIGKILL
    assert not (folder / "ledger.url").exists()
    assert now_in(folder) == held
    with moving(folder) as mover:
        said = mover.move_ledger(server)
    assert said.there == (min(20 * (at + 1), said.size) if at < 2 else said.size)
    assert now_in(folder) == held
    assert (folder / "ledger.url").exists()


def test_a_dry_run_makes_and_changes_nothing(shop, server, tmp_path):
    folder, held = left(shop)
    before = sorted(folder.rglob("*"))
    said = run("--data", folder, "--to", server, "--to", f"dir:{tmp_path / 'other'}", "--dry-run")
    assert said.exit_code == 0, said.output
    assert f"has {len(held['records'])} records; 0 of them are at" in said.output
    assert f"has {len(held['blobs'])} photos and values; 0 of them are at" in said.output
    assert not (tmp_path / "other").exists()
    after = set(folder.rglob("*")) - {folder / "open.lock"}
    assert after <= set(before)
    with pytest.raises(NotAWorkshop), moving(tmp_path):
        pass


def test_nobody_is_at_it_meanwhile(shop, tmp_path):
    with pytest.raises(StoreError) as refused, moving(shop.folder):
        pass
    assert refused.value.code == "workshop-open"
    folder, held = left(shop)
    with moving(folder), pytest.raises(StoreError) as refused:
        Store(folder)
    assert refused.value.code == "being-moved"
    assert now_in(folder) == held


def test_photos_to_another_disk_and_what_is_altered_is_named_and_stays(shop, tmp_path):
    blob = shop.store.blobs.put(b"an oily thumb")
    shop.store.blobs.path(blob).write_bytes(b"another thumb")
    folder, held = left(shop)
    there = tmp_path / "disk"
    said = run("--data", folder, "--to", f"dir:{there}")
    assert said.exit_code == 1
    assert blob in said.output
    assert (folder / "photos.url").read_text() == f"dir:{there}\n"
    assert now_in(folder) == {**held, "blobs": [one for one in held["blobs"] if one != blob]}
    assert (BlobFolder(folder / "blobs").path(blob)).read_bytes() == b"another thumb"
    again = run("--data", folder, "--to", f"dir:{there}")
    assert again.output == f"It is there already: dir:{there}\n"


def test_what_was_erased_meanwhile_does_not_come_back_with_the_old_place(shop, tmp_path):
    store = shop.store
    blob = store.blobs.put(private.write("words", "to be erased", secrets.token_bytes(16)))
    store.ledger.keep([blob], NOON)
    folder, _ = left(shop)
    there = tmp_path / "disk"
    with moving(folder) as mover:
        mover.move_photos(f"dir:{there}")
    store = Store(folder)
    with store.database.write() as db:  # as an erasure that was carried out has it
        db.execute("insert into erased values (?, 0) on conflict do nothing", [blob])
    store.blobs.erase(blob)
    store.close()
    assert BlobFolder(folder / "blobs").has(blob)
    with moving(folder) as mover:
        mover.move_photos("dir:")
    assert not BlobFolder(folder / "blobs").has(blob)


def test_a_place_of_another_workshop_is_refused(shop, server, tmp_path):
    other = Workshop(tmp_path / "other", ledger=server)
    folder, held = left(shop)
    with moving(folder) as mover:
        with pytest.raises(StoreError) as refused:
            mover.move_ledger(server)
        assert refused.value.code == "other-ledger"
        (tmp_path / "disk").mkdir()
        (tmp_path / "disk" / "holiday.jpg").write_bytes(b"sea")
        with pytest.raises(PhotosElsewhere):
            mover.move_photos(f"dir:{tmp_path / 'disk'}")
    assert now_in(folder) == held
    assert other.store.ledger.size() == 1


def test_a_changed_record_does_not_move(shop, server):
    with shop.store.database.write() as db:
        db.execute("""update records set record = replace(record, 'teeth', 'tooth')""")
    folder = shop.folder
    shop.store.close()
    with moving(folder) as mover, pytest.raises(Damaged):
        mover.move_ledger(server)
    assert not (folder / "ledger.url").exists()


def test_the_server_that_it_lies_on_is_reached_as_from_says(postgres, tmp_path, monkeypatch):
    monkeypatch.delenv(VARIABLE, raising=False)
    url = f"{postgres.url}?schema=moved_{next(_numbers)}"
    shop = Workshop(tmp_path / "data", ledger=url)
    folder, size = shop.folder, shop.store.ledger.size()
    shop.store.close()
    said = run("--data", folder, "--from", url, "--to", "sqlite:")
    assert said.exit_code == 0, said.output
    assert PASSWORD not in said.output
    assert Store(folder).ledger.size() == size
    assert os.environ.get(VARIABLE) is None


def test_a_stranger_or_an_older_copy_is_not_moved_in_its_place(shop, server, tmp_path, monkeypatch):
    """By `--from` another server's address was given: one of that name says little."""
    folder, held = left(shop)
    stranger = Workshop(tmp_path / "stranger", ledger="sqlite:")
    stranger.enrol("owner")
    reached = ledger_url.opened(stranger.folder, None)
    with monkeypatch.context() as elsewhere:
        elsewhere.setattr("twoturns.store.ledger_url.opened", lambda *_, **__: reached)
        with pytest.raises(RecordsLost), moving(folder):
            pass
    assert now_in(folder) == held


def test_who_signed_out_meanwhile_is_not_signed_in_again(shop, server):
    token, _ = shop.store.sessions.start("d" * 43, NOON)
    folder, _ = left(shop)
    for place in (server, "sqlite:"):
        with moving(folder) as mover:
            mover.move_ledger(place)
        store = Store(folder)
        assert store.sessions.find(token, NOON) is None
        store.close()


# Another machine, with a folder of its own.


@pytest.fixture
def two(server, tmp_path):
    """A workshop on a server, and what a second machine serves it by, which nobody told of it."""
    shop = Workshop(tmp_path / "data", ledger=server)
    phone = shop.enrol("mechanic")
    shutil.copytree(shop.folder, tmp_path / "second")
    second = Workshop.__new__(Workshop)
    second.folder, second.now = tmp_path / "second", NOON
    second.store = Store(second.folder)
    shop.store.close()
    return shop.folder, second, phone


def test_another_machine_cannot_write_during_a_move_nor_where_the_ledger_was(
    two, server, tmp_path, monkeypatch
):
    folder, second, phone = two
    said = phone.write("job.taken", {}, uuid7())
    token, _ = second.store.sessions.start(phone.id, NOON)
    monkeypatch.setattr(postgres, "TURN_SECONDS", 0.2)
    met: list[object] = []

    def meanwhile(*_: int) -> None:
        with pytest.raises(WorkshopLocked) as locked:
            second.push(said)
        met.append(locked.value)

    with moving(folder) as mover:
        mover.move_ledger("sqlite:", meanwhile)
    assert met
    for work in (lambda: second.push(said), lambda: Store(second.folder)):
        with pytest.raises(WorkshopMoved) as refused:
            work()
        assert (refused.value.code, refused.value.particulars) == ("workshop-shut", "sqlite:")
    assert second.store.sessions.find(token, NOON) is None  # so no desk is shown what was
    store = Store(folder)
    receipt = store.ledger.append([said.line], [], received=NOON, offset_ms=0)
    assert (receipt.refused, said.id in receipt.indices) == ([], True)
    store.close()
    third = shutil.copytree(second.folder, tmp_path / "third")
    with moving(third) as mover, pytest.raises(WorkshopMoved):
        mover.move_ledger(server.replace("moved_", "other_"))
    with moving(folder) as mover:  # back, and all is there for the second machine, too
        mover.move_ledger(server)
    assert second.push(said).indices == receipt.indices
    assert Store(second.folder).ledger.size() == Store(folder).ledger.size()


def test_broken_off_once_it_is_decided_the_same_move_goes_on(two, monkeypatch):
    folder, second, _ = two
    with monkeypatch.context() as broken, moving(folder) as mover:
        broken.setattr("twoturns.store.move.ledger_url.note", lambda *_: 1 / 0)
        with pytest.raises(ZeroDivisionError):
            mover.move_ledger("sqlite:")
    for one in (folder, second.folder):
        with pytest.raises(WorkshopMoved, match="was moved"):
            Store(one)
    size = second.store.ledger.size()
    with moving(folder) as mover:
        assert mover.move_ledger("sqlite:").there == size
    assert Store(folder).ledger.size() == size


def test_another_machine_keeps_no_photo_where_they_were(two, tmp_path):
    folder, second, _ = two
    with moving(folder) as mover:
        mover.move_photos(f"dir:{tmp_path / 'disk'}")
    blob = second.store.blobs.put(b"an oily thumb")
    with pytest.raises(WorkshopMoved):
        second.store.ledger.keep([blob], NOON)
    shutil.copy(folder / "photos.url", second.folder)
    told = Store(second.folder)
    told.ledger.keep([told.blobs.put(b"an oily thumb")], NOON)
    assert Store(folder).blobs.has(blob)


# What goes along that is no evidence.


def tables_in(store: Store) -> set[str]:
    """Return every table that there is of a workshop, as its engine says."""
    if (file := store.database.file) is None:
        asked = "select tablename as name from pg_tables where schemaname = current_schema"
        return {row["name"] for row in store.database.rows(asked)}
    asked = "select name from sqlite_master where type = 'table' and name not like 'sqlite_%'"
    beside = FileDatabase(file.with_name(blob_checks.NAME))
    return {row["name"] for one in (store.database, beside) for row in one.rows(asked)}


def test_every_table_goes_along_or_it_is_said_why_not(shop, server):
    """Asked of the engines: whoever adds a table decides."""
    said = {"records", "nodes", *ALONG, *STAYS, *blob_checks.TABLES}
    folder, _ = with_all_that_goes_along(shop)
    store = Store(folder)
    assert tables_in(store) == said - {"marks", "confirmed"}
    store.close()
    with moving(folder) as mover:
        mover.move_ledger(server)
    assert tables_in(Store(folder)) == said


def test_what_is_no_evidence_goes_along_both_ways(shop, server):
    folder, held = with_all_that_goes_along(shop)
    for place in (server, "sqlite:"):
        with moving(folder) as mover:
            mover.move_ledger(place)
        store = Store(folder)
        assert beside_in(store) == held
        store.close()


def test_it_prints_what_goes_along_and_what_stays_and_where_a_fence_is(shop, server, tmp_path):
    folder, held = with_all_that_goes_along(shop)
    photos = f"dir:{tmp_path / 'photos'}"
    counts = (
        f"last sign-ins of devices: {len(held['contacts'])}\n",
        f"what devices may still send: {len(held['allowances'])}\n",
        f"nonces that were used: {len(held['nonces'])}\n",
        "read through: 1, in 1 daily part\n",
    )
    for would, says in (["--dry-run"], "Would go along"), ([], "Went along"):
        told = run("--data", folder, "--to", server, "--to", photos, *would)
        assert told.exit_code == 0, told.output
        assert says in told.output
        assert [
            one for one in (*counts, "sessions", "halves of uploads") if one not in told.output
        ] == []
        assert "fence" not in told.output  # a ledger that is a file is in the only folder of it
    back = run("--data", folder, "--to", "sqlite:", "--to", "dir:")
    assert back.exit_code == 0, back.output
    of_photos, of_ledger = [line for line in back.output.splitlines() if "fence" in line]
    assert of_photos.startswith("A note stands in the ledger")
    assert of_ledger.startswith("A note stands at postgresql://")
    assert PASSWORD not in back.output
    here = run("--data", folder, "--to", "sqlite:")
    assert "along" not in here.output


def with_all_that_goes_along(shop: Workshop):
    store = shop.store
    store.sessions.start("d" * 43, NOON)
    assert store.sessions.spend(store.sessions.nonce("d" * 43, NOON), "d" * 43, NOON)
    store.allowances.draw("d" * 43, [Want("bytes", 10, 1, 1, 1)], NOON)
    store.checks.note("0" * 64, "altered")
    store.checks.begin_slice(NOON)
    held = beside_in(store)
    assert all(held.values())
    store.close()
    return shop.folder, held


def beside_in(store: Store) -> dict[str, list]:
    beside = {name: store.checks._rows(f"select * from {name}") for name in blob_checks.TABLES}
    return {name: rows_of_table(store, name) for name in ALONG} | beside


def test_a_dry_run_asks_whose_bucket_it_is_even_for_no_photo(shop, seaweed, tmp_path, monkeypatch):
    monkeypatch.setenv("AWS_ACCESS_KEY_ID", seaweed.key)
    monkeypatch.setenv("AWS_SECRET_ACCESS_KEY", seaweed.secret)
    there = seaweed.url()
    left(Workshop(tmp_path / "other", ledger="sqlite:", photos=there))
    folder, _ = left(Workshop(tmp_path / "bare", ledger="sqlite:"))
    with moving(folder) as mover, pytest.raises(PhotosElsewhere, match="another workshop"):
        mover.look_at_photos(there)
