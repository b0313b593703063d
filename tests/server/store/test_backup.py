"""What a backup holds, what it never holds, and what it refuses before it replaces anything."""

import shutil
import sqlite3
import stat

import pytest

from twoturns.store import Store, backup, files, generations
from twoturns.store.backup import back_up, copy_blob
from twoturns.store.errors import Damaged, StoreError
from twoturns.store.generations import BackupFolder
from twoturns.store.ledger_copy import write_ledger
from workshop import NOON, Workshop, uuid7

FIRST = "ledger-000000000002.db"


@pytest.fixture
def target(tmp_path):
    return tmp_path / "other-disk" / "backup"


def held(target) -> dict[str, bytes]:
    """All bytes that count in a backup folder."""
    return {
        str(path.relative_to(target)): path.read_bytes()
        for path in target.rglob("*")
        if path.is_file() and path.name != "lock"
    }


def sizes(target) -> list[int]:
    return [one.size for one in BackupFolder(target).generations()]


def change(path, *statements) -> None:
    with sqlite3.connect(path) as file:
        for sql, parameters in statements:
            file.execute(sql, parameters)
    file.close()


def flip(path, index: int, table: str = "records") -> None:
    """Change one byte of a record, where it changes no form: a digit of the time it came in."""
    with sqlite3.connect(path) as file:
        text = file.execute('select record from records where "index" = ?', [index]).fetchone()[0]
        file.execute(
            'update records set record = ? where "index" = ?',
            [text.replace("2026-", "2025-", 1), index],
        )
    file.close()


def test_a_backup_has_no_key_no_session_and_no_view(workshop, target):
    phone = workshop.enrol("mechanic")
    workshop.open_job(phone, vin="TT000000000000077")
    workshop.store.sessions.start(phone.id, NOON)
    size = workshop.store.ledger.size()
    assert back_up(workshop.store, target, NOON).size == size
    assert workshop.store.views.backed_up("2026-11-24T12:00:00.000Z") == size
    names = {path.name for path in target.iterdir()}
    ledger = f"ledger-{size:012d}"
    assert names == {f"{ledger}.db", f"{ledger}.working", "blobs", "checked", "lock"}
    assert [path.name for path in (target / f"{ledger}.working").iterdir()] == ["contacts.json"]
    assert stat.S_IMODE(target.stat().st_mode) == 0o700
    ledger = (target / f"ledger-{size:012d}.db").read_bytes()
    assert b"TT000000000000077" not in ledger  # an erasure would not reach it there
    with sqlite3.connect(target / f"ledger-{size:012d}.db") as file:
        tables = {row[0] for row in file.execute("select name from sqlite_master where sql > ''")}
    file.close()
    assert tables == {"records", "nodes"}


def test_three_ledgers_stay_and_blobs_are_there_once(workshop, target):
    blob = workshop.store.blobs.put(b"a photo")
    workshop.store.ledger.keep([blob], NOON)
    made = [back_up(workshop.store, target, NOON).size for _ in range(5)]
    assert sizes(target) == made[:1:-1]
    assert [path for path in held(target) if blob in path] == [f"blobs/{blob[:2]}/{blob}"]
    back_up(workshop.store, target, NOON, generations=1)
    assert len(sizes(target)) == 1


def test_what_was_erased_leaves_all_generations_at_once(workshop, target):
    blob = workshop.store.blobs.put(b"a photo")
    workshop.store.ledger.keep([blob], NOON)
    back_up(workshop.store, target, NOON)
    erased = {"blob": blob, "reason": "asked", "basis": "law"}
    workshop.store.ledger.state("blob.erased", erased, NOON)
    back_up(workshop.store, target, NOON)
    assert len(sizes(target)) == 2
    assert not (target / "blobs" / blob[:2] / blob).exists()


# Refused before anything is replaced. Each of these took the place of the only good copy once.


@pytest.mark.embedded("it changes the bytes of SQLite's file")
@pytest.mark.parametrize("index", [0, 3, 11])
def test_a_changed_byte_in_the_ledger_does_not_reach_the_backup(workshop, target, index):
    phone = workshop.enrol("mechanic")
    workshop.push(*(phone.write("job.taken", {}, uuid7()) for _ in range(5)))
    back_up(workshop.store, target, NOON)
    workshop.push(*(phone.write("job.taken", {}, uuid7()) for _ in range(5)))
    before, size = held(target), workshop.store.ledger.size()
    flip(workshop.folder / "ledger.db", index)
    with pytest.raises(Damaged, match=f"the record at {index} is not the one"):
        back_up(workshop.store, target, NOON)
    assert held(target) == before
    assert workshop.store.ledger.size() == size, "backup.made was stated"


@pytest.mark.embedded("it changes the bytes of SQLite's file")
@pytest.mark.parametrize("level", [0, 1, 2])
def test_a_changed_node_of_the_tree_does_not_reach_the_backup(workshop, target, level):
    phone = workshop.enrol("mechanic")
    back_up(workshop.store, target, NOON)
    workshop.push(*(phone.write("job.taken", {}, uuid7()) for _ in range(5)))
    before = held(target)
    change(
        workshop.folder / "ledger.db",
        ("update nodes set hash = ? where level = ? and number = 0", [bytes(32), level]),
    )
    with pytest.raises(Damaged, match="the record at 0"):
        back_up(workshop.store, target, NOON)
    assert held(target) == before


def test_another_workshops_backup_is_left_as_it_is(workshop, target, tmp_path):
    back_up(workshop.store, target, NOON)
    before = held(target)
    other = Workshop(tmp_path / "other")
    other.enrol("mechanic")
    with pytest.raises(StoreError, match="backup of another workshop") as refused:
        back_up(other.store, target, NOON)
    assert refused.value.code == "backup-differs"
    assert held(target) == before


@pytest.mark.embedded("its older ledger is a copy of the folder")
def test_a_smaller_ledger_is_refused(workshop, target, tmp_path):
    shutil.copytree(workshop.folder, tmp_path / "older")
    workshop.enrol("mechanic")
    size = back_up(workshop.store, target, NOON).size
    before, older = held(target), Store(tmp_path / "older")
    with pytest.raises(StoreError, match=f"a ledger of {size} records, and this one has 1"):
        back_up(older, target, NOON)
    assert held(target) == before
    # Nor when the larger one in the backup cannot be read any more: it may be all there is of it.
    with (target / FIRST.replace("2", str(size))).open("r+b") as file:
        file.write(bytes(4096))
    with pytest.raises(StoreError) as refused:
        back_up(older, target, NOON)
    assert refused.value.code == "backup-larger"


@pytest.mark.embedded("its older ledger is a copy of the folder")
def test_another_history_of_the_same_workshop_is_refused(workshop, target, tmp_path):
    shutil.copytree(workshop.folder, tmp_path / "older")
    workshop.enrol("mechanic")
    back_up(workshop.store, target, NOON)
    before, workshop.store = held(target), Store(tmp_path / "older")
    for _ in range(3):
        workshop.enrol("mechanic")
    with pytest.raises(StoreError, match="not those that this ledger begins with") as refused:
        back_up(workshop.store, target, NOON)
    assert refused.value.code == "backup-differs"
    assert held(target) == before


def grown_over(path, index: int, text: str) -> None:
    """Put a record into a ledger and grow the tree anew, as one with the disk would."""
    from twoturns.ledger.tree import NodesInMemory, Tree, leaf_hash

    nodes = {}

    class Nodes(NodesInMemory):
        def put(self, level, number, node):
            super().put(level, number, node)
            nodes[level, number] = node

    change(path, ('update records set record = ? where "index" = ?', [text, index]))
    with sqlite3.connect(path) as file:
        tree = Tree(Nodes())
        for (record,) in file.execute('select record from records order by "index"'):
            tree.append(leaf_hash(record.encode()))
    file.close()
    change(
        path,
        ("delete from nodes", []),
        *(("insert into nodes values (?, ?, ?)", [*key, node]) for key, node in nodes.items()),
    )


@pytest.fixture
def forged(workshop):
    """A record whose signature is another's, in a tree that was grown over it."""
    phone = workshop.enrol("mechanic")
    workshop.push(*(phone.write("job.taken", {}, uuid7()) for _ in range(5)))
    path = workshop.folder / "ledger.db"
    with sqlite3.connect(path) as file:
        texts = [row[0] for row in file.execute('select record from records order by "index"')]
    file.close()
    mine, other = texts[4].split(" ", 3), texts[5].split(" ", 3)
    grown_over(path, 4, " ".join([*mine[:2], other[2], mine[3]]))
    return workshop


@pytest.mark.embedded("it changes the bytes of SQLite's file")
def test_a_record_that_nobody_signed_is_found_in_a_tree_grown_over_it(forged, target):
    with pytest.raises(Damaged, match="the record at 4 is not one that a device of this workshop"):
        back_up(forged.store, target, NOON)
    assert sizes(target) == []


@pytest.mark.parametrize("harm", ["signature", "size", "torn", "anothers", "checkpoint", "gone"])
def test_a_note_of_what_was_checked_counts_only_as_the_workshop_signed_it(
    workshop, target, tmp_path, monkeypatch, harm
):
    phone = workshop.enrol("mechanic")
    back_up(workshop.store, target, NOON)
    asked = []
    real = backup.check_signatures
    monkeypatch.setattr(
        backup,
        "check_signatures",
        lambda records, whose, start: asked.append(start) or real(records, whose, start),
    )
    workshop.push(phone.write("job.taken", {}, uuid7()))
    back_up(workshop.store, target, NOON)
    assert asked == [3]  # what the first one has checked is not checked again
    note = (target / "checked").read_text()
    if harm == "signature":
        note = note[:-10] + ("A" if note[-10] != "A" else "B") + note[-9:]
    if harm == "size":
        note = note.replace("\n5\n", "\n6\n")
        assert "\n6\n" in note
    if harm == "anothers":
        other = Workshop(tmp_path / "other")
        other.store.ledger.state("retention.set", {"days": 400}, NOON)
        back_up(other.store, tmp_path / "its", NOON)
        note = (tmp_path / "its" / "checked").read_text()
    if harm == "torn":
        note = note[:40]
    if harm == "checkpoint":  # the workshop signs that of any ledger, checked or not
        note = workshop.store.ledger.checkpoint()
    (target / "checked").write_text(note)
    if harm == "gone":
        (target / "checked").unlink()
    back_up(workshop.store, target, NOON)
    assert asked[-1] == 0


def test_a_damaged_generation_is_told_and_a_new_one_made_from_what_is_whole(workshop, target):
    first = back_up(workshop.store, target, NOON).size
    second = back_up(workshop.store, target, NOON).size
    path = target / f"ledger-{second:012d}.db"
    flip(path, 0)
    made = back_up(workshop.store, target, NOON)
    assert made.damaged == (path,)
    assert sizes(target) == [made.size, second, first]


@pytest.mark.embedded("it compares with SQLite's file")
def test_a_generation_that_grew_from_the_one_before_is_what_a_whole_copy_would_be(
    workshop, target, tmp_path, monkeypatch
):
    phone, asked = workshop.enrol("mechanic"), []
    real = backup.checked_records
    monkeypatch.setattr(
        backup, "checked_records", lambda db, start: asked.append(start) or real(db, start)
    )
    for count in (3, 1, 10, 40):
        workshop.push(*(phone.write("job.taken", {}, uuid7()) for _ in range(count)))
        phone = workshop.enrol("mechanic")
        size = back_up(workshop.store, target, NOON).size
    path = target / f"ledger-{size:012d}.db"
    assert asked == [0, *sorted(asked[1:])]
    assert asked[-1] > 0
    write_ledger(workshop.folder / "ledger.db", tmp_path / "whole.db")
    for table in ("records", "nodes"):
        with sqlite3.connect(path) as one, sqlite3.connect(tmp_path / "whole.db") as other:
            sql = f"select * from {table}"
            grown, whole = {*one.execute(sql)}, {*other.execute(sql)}
        one.close()
        other.close()
        assert grown <= whole
        assert len(whole) - len(grown) <= 2  # `backup.made` came after it
    with generations.read_ledger(path) as db:
        assert generations.whole_tree(db).size == size


@pytest.mark.parametrize("what", ["workshop.key", "letters.txt"])
def test_a_folder_that_is_no_backup_is_not_written_to(workshop, target, what):
    target.mkdir(parents=True)
    (target / what).write_text("somebody's")
    with pytest.raises(StoreError) as refused:
        back_up(workshop.store, target, NOON)
    assert refused.value.code == "bad-backup-place"
    assert [each.name for each in target.iterdir()] == [what]


def test_a_workshops_own_folder_is_not_taken_for_a_backup_though_its_key_is_gone(
    workshop, tmp_path
):
    other = Workshop(tmp_path / "other")
    other.store.database.close()
    (other.folder / "workshop.key").unlink()
    before = held(other.folder)
    with pytest.raises(StoreError) as refused:
        back_up(workshop.store, other.folder, NOON)
    assert refused.value.code == "bad-backup-place"
    assert held(other.folder) == before


def test_a_backup_inside_the_data_folder_is_none(workshop: Workshop):
    with pytest.raises(StoreError, match="inside"):
        back_up(workshop.store, workshop.folder / "backup", NOON)


def test_two_backups_into_one_folder_do_not_meet(workshop, target):
    back_up(workshop.store, target, NOON)
    before = held(target)
    with BackupFolder(target).locked():
        with pytest.raises(StoreError) as refused:
            back_up(workshop.store, target, NOON)
        assert refused.value.code == "backup-busy"
    assert held(target) == before
    back_up(workshop.store, target, NOON)


# Blobs.


def test_a_damaged_blob_stops_the_backup_before_it_is_believed(workshop, target):
    blob = workshop.store.blobs.put(b"a photo")
    workshop.store.ledger.keep([blob], NOON)
    workshop.store.blobs.path(blob).write_bytes(b"a phot0")
    size = workshop.store.ledger.size()
    with pytest.raises(Damaged, match=blob):
        back_up(workshop.store, target, NOON)
    assert workshop.store.ledger.size() == size
    assert sizes(target) == []
    workshop.store.blobs.path(blob).unlink()
    with pytest.raises(Damaged, match="missing"):
        back_up(workshop.store, target, NOON)


def test_what_a_disk_gives_back_otherwise_is_not_called_backed_up(workshop, target, monkeypatch):
    blob = workshop.store.blobs.put(b"a photo")
    workshop.store.ledger.keep([blob], NOON)
    size, forget = workshop.store.ledger.size(), files.forget_cached

    def rot(path):
        """A disk that reads back another byte than was written, once nothing is in memory."""
        forget(path)
        if path.is_relative_to(target / "blobs"):
            path.write_bytes(b"a phot0")

    monkeypatch.setattr(files, "forget_cached", rot)
    with pytest.raises(Damaged, match="reads back otherwise"):
        back_up(workshop.store, target, NOON)
    assert (sizes(target), workshop.store.ledger.size()) == ([], size)


def test_a_ledger_that_a_disk_gives_back_otherwise_is_no_generation(workshop, target, monkeypatch):
    size, forget = workshop.store.ledger.size(), files.forget_cached

    def rot(path):
        forget(path)
        if path.name == "ledger.new":
            flip(path, 0)

    monkeypatch.setattr(files, "forget_cached", rot)
    with pytest.raises(Damaged, match="reads back otherwise"):
        back_up(workshop.store, target, NOON)
    assert (sizes(target), workshop.store.ledger.size()) == ([], size)


def test_a_blob_cut_short_in_the_backup_is_copied_anew_and_a_rotten_one_when_all_are_read(
    workshop, target
):
    blob = workshop.store.blobs.put(b"a photo")
    workshop.store.ledger.keep([blob], NOON)
    back_up(workshop.store, target, NOON)
    copy = target / "blobs" / blob[:2] / blob
    copy.write_bytes(b"rot")
    back_up(workshop.store, target, NOON)
    assert copy.read_bytes() == b"a photo"
    copy.write_bytes(b"a phot0")
    back_up(workshop.store, target, NOON, reads_all=True)
    assert copy.read_bytes() == b"a photo"


def test_after_a_run_that_was_cut_off_what_lies_there_is_read_and_not_believed(
    workshop, target, monkeypatch
):
    first, second = sorted(workshop.store.blobs.put(data) for data in (b"a photo", b"another"))
    workshop.store.ledger.keep([first, second], NOON)

    def cut_off(here, there, blob):
        if blob == second:
            raise KeyboardInterrupt
        return copy_blob(here, there, blob)

    with monkeypatch.context() as patch:
        patch.setattr("twoturns.store.backup.copy_blob", cut_off)
        with pytest.raises(KeyboardInterrupt):
            back_up(workshop.store, target, NOON)
    copy = target / "blobs" / first[:2] / first
    whole = copy.read_bytes()
    copy.write_bytes(bytes(len(whole)))  # as a disk that lost what it said it had
    back_up(workshop.store, target, NOON)
    assert copy.read_bytes() == whole
    copy.write_bytes(bytes(len(whole)))
    back_up(workshop.store, target, NOON)
    assert copy.read_bytes() == bytes(len(whole)), "a run that ended is believed: a scrub reads"


# The form before: one `ledger.db`, with its views.


@pytest.mark.embedded("its backup of the old form is SQLite's file")
def test_a_backup_of_the_old_form_is_gone_on_with(workshop, target):
    phone = workshop.enrol("mechanic")
    workshop.open_job(phone, vin="TT000000000000077")
    workshop.store.database.connection().execute("PRAGMA wal_checkpoint(TRUNCATE)")
    target.mkdir(parents=True)
    shutil.copy(workshop.folder / "ledger.db", target)
    shutil.copytree(workshop.folder / "blobs", target / "blobs")
    (target / "uploads").mkdir()
    change(target / "ledger.db", ("PRAGMA journal_mode=DELETE", []), ("PRAGMA user_version=1", []))
    size = workshop.store.ledger.size()
    workshop.enrol("mechanic")
    made = back_up(workshop.store, target, NOON)
    assert sizes(target) == [made.size, size]
    assert b"TT000000000000077" not in b"".join(
        data for name, data in held(target).items() if name.startswith("ledger")
    )
