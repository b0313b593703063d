"""
The server is killed (SIGKILL) before, after and within each call by which it touches its disk.

Point by point until an act runs through: the server starts again, everything it had claimed is
there, nothing is torn, and the same request sent again comes to its end. What SIGKILL cannot show
is power loss, where unsynced bytes go too: the disk's cache outlives the process here.
"""

import pytest

from faults.server.acts import ACTS, ONLY_READ
from faults.server.disk import killed_at
from faults.server.verdict import check_all
from twoturns.store import Store
from twoturns.store.errors import NotAWorkshop
from workshop import NOON

pytestmark = pytest.mark.slow(20)

# The points that must have been met: an act that lost its fsync would pass all the sooner.
MUST_MEET = {
    "push": {"in write blobs/new", "after fsync blobs/new", "before replace blobs/new",
             "after fsync blobs", "before commit ledger.db", "after commit ledger.db",
             "before pwrite newest-checkpoint", "in pwrite newest-checkpoint",
             "after pwrite newest-checkpoint", "before fsync newest-checkpoint"},
    "upload": {"in write uploads", "before fsync uploads", "after fsync uploads",
               "before replace uploads", "after replace uploads", "before fsync blobs",
               "before commit ledger.db", "after commit ledger.db"},
    "enrol": {"before commit ledger.db", "after commit ledger.db"},
    "erase": {"after commit ledger.db", "before unlink blobs", "after fsync blobs"},
    "backup": {"before commit ledger.db", "before fsync backup/ledger.new",
               "before replace backup/ledger.new", "after replace backup/ledger.new",
               "before replace backup/checked.new", "before unlink backup/LEDGER",
               "after unlink backup/LEDGER", "after commit ledger.db"},
    "rebuild": {"before commit ledger.db", "after commit ledger.db"},
    "restore": {"in write put-back/blobs/new", "after replace put-back/blobs/new",
                "before replace put-back/ledger.new", "before commit ledger.db",
                "after commit ledger.db"},
}  # fmt: skip


@pytest.mark.parametrize("name", ACTS)
def test_a_server_killed_at_any_point_has_what_it_claimed_and_goes_on(scene, name):
    act, met = ACTS[name], set()
    scene.put_back(scene.folder)
    scene.put_back(scene.backup)
    before = scene.files()
    for n in range(1, 1000):
        scene.make_ready(name)
        point, claims = killed_at(n, scene.root, lambda claim: act(scene, claim))
        if name not in ONLY_READ:
            scene.start()
        check_all(scene, name, claims, before)
        if not point:
            break
        met.add(point.replace("data/", ""))
        again: list[str] = []
        act(scene, again.append)
        scene.close()
        check_all(scene, name, again, before)
        assert {claim for claim in claims if claim.startswith("entry")} <= set(again), point
    assert met >= MUST_MEET[name], met


def test_a_workshop_whose_making_was_killed_is_whole_or_none_at_all(tmp_path):
    ends = set()
    for n in range(1, 2000):
        folder = tmp_path / f"{n}"
        folder.mkdir()

        def make(_, data=folder / "data"):
            Store.create(data, "Workshop at the Weir", NOON)

        point, _ = killed_at(n, folder, make)
        try:
            store = Store(folder / "data")
        except NotAWorkshop:
            ends.add("none" if point else "none, though nothing was killed")
        else:
            ends.add("whole")
            assert store.name == "Workshop at the Weir"
            assert store.ledger.size() == 1
            assert store.rebuild() == []
            store.database.close()
        if not point:
            break
    assert ends == {"none", "whole"}
