"""What must be so of a workshop's disk after any crash, whatever had been going on."""

import shutil
from pathlib import Path

from faults.server.acts import ON_BACKUP, ONLY_READ, SHA, Scene
from twoturns.store import Store
from twoturns.store.check import check_signatures, checked_records
from twoturns.store.generations import BackupFolder, read_ledger, workshop_of
from twoturns.store.projector import TABLES
from twoturns.store.restore import restore


def views_of(store: Store) -> dict[str, list]:
    """Return all rows of all views; `summaries` are made when somebody has the time."""
    rows = store.database.rows
    return {
        table: sorted(map(repr, rows(f"select * from {table}")))
        for table in TABLES
        if table not in ("summaries", "unfolded")
    }


def torn(store: Store) -> list[str]:
    """Return the blobs whose bytes are not those that their name promises."""
    return [blob for blob in store.blobs.all() if not store.blobs.is_whole(blob)]


def check_all(scene: Scene, act: str, claims: list[str], before: dict[Path, bytes]) -> None:
    """Check what an act may have changed; `before` is what lay there, of one that only reads."""
    if act in ONLY_READ:
        assert scene.files() == before
        return
    check(scene, claims)
    if act in ON_BACKUP:
        check_backup(scene)


def check(scene: Scene, claims: list[str]) -> None:
    """The server was started again: everything claimed is so, and nothing half-made is there."""
    store = Store(scene.folder)
    store.tidy()
    assert store.database.row("PRAGMA integrity_check") == {"integrity_check": "ok"}
    assert torn(store) == []
    missing = [blob for blob in store.views.kept() if not store.blobs.has(blob)]
    assert missing == [], "a receipt without durable bytes"
    for claim in claims:
        what, *said = claim.split(" ")
        CLAIMS[what](scene, store, *said)
    before = views_of(store)
    assert store.rebuild() == []
    assert views_of(store) == before
    store.database.close()


def check_backup(scene: Scene) -> None:
    """Each generation that has its name is whole, and the newest can be put back and lived on."""
    generations = BackupFolder(scene.backup).generations()
    for one in generations:
        with read_ledger(one.path) as db:
            assert check_signatures(checked_records(db), workshop_of(db)) == one.size
    copy = scene.root / "backup-looked-at"
    shutil.rmtree(copy, ignore_errors=True)
    assert restore(scene.backup, copy).missing == ()
    shutil.copy(scene.folder / "workshop.key", copy)
    store = Store(copy)
    assert store.ledger.size() == generations[0].size
    assert store.rebuild() == []
    assert torn(store) == []
    store.database.close()
    shutil.rmtree(copy)


def _entry(_: Scene, store: Store, entry_id: str, index: str) -> None:
    row = store.database.row('select "index" from records where id = ?', [entry_id])
    assert row == {"index": int(index)}


def _photo(_: Scene, store: Store, sha256: str) -> None:
    assert store.blobs.is_whole(sha256)
    assert store.views.kept_at(sha256) is not None


def _offset(scene: Scene, store: Store, offset: str) -> None:
    progress = store.uploads.progress(scene.phone.id, SHA)
    reached = store.blobs.size(SHA) if progress is None else progress.offset
    assert reached >= int(offset)


def _erased(_: Scene, store: Store, sha256: str) -> None:
    assert store.views.is_erased(sha256)
    assert not store.blobs.has(sha256)


def _backup(_: Scene, store: Store, size: str) -> None:
    assert store.views.backed_up("2026-11-24T12:00:00.000Z") == int(size)


CLAIMS = {
    "entry": _entry,
    "photo": _photo,
    "offset": _offset,
    "erased": _erased,
    "backup": _backup,
}
