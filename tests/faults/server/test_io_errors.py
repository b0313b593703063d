"""
The n-th call to the disk fails, n = 1, 2, 3, ... until an act runs through.

Files fail with EIO or ENOSPC, SQL as SQLite fails on such a disk. The server answers in its one
shape of refusal, claims nothing, goes on running, and the same request sent again is taken. (The
manner is SQLite's own tests of I/O errors.)
"""

import errno
import sqlite3

import pytest

from faults.server.acts import ACTS, NotTaken
from faults.server.disk import Failing, hooked
from faults.server.verdict import check_all
from twoturns.store.errors import WorkshopFull

pytestmark = pytest.mark.slow(30)

TOLD_AS = {errno.EIO: (OSError, sqlite3.OperationalError), errno.ENOSPC: WorkshopFull}
# No request, or not to its end: the command line, or the log of the server, tells it.
ON_COMMAND = ("backup", "erase", "rebuild", "restore")
HTTP = {errno.EIO: "500 fault", errno.ENOSPC: "507 workshop-full"}


@pytest.mark.parametrize("number", TOLD_AS, ids=errno.errorcode.get)
@pytest.mark.parametrize("name", ACTS)
def test_a_disk_that_fails_at_any_call_costs_an_answer_and_nothing_else(scene, name, number):
    act, failed = ACTS[name], 0
    scene.put_back(scene.folder)
    scene.put_back(scene.backup)
    before = scene.files()
    for n in range(1, 3000):
        if name == "rebuild":
            scene.start()  # it leaves all as it was, failed or not
        else:
            scene.make_ready(name)
        disk, claims, told, refusal = Failing(n, number), [], True, HTTP[number]
        with hooked(disk, scene.root):
            try:
                act(scene, claims.append)
                told = False
            except NotTaken as refused:
                refusal = str(refused)
            except TOLD_AS[number]:
                refusal = refusal if name in ON_COMMAND else "not told"
        assert refusal == HTTP[number], disk.name
        if not disk.name:
            break
        failed += 1
        # What failed behind the answer (an oldest half to drop, a blob to erase) is made up for.
        again: list[str] = []
        act(scene, again.append)
        scene.close()
        check_all(scene, name, [*claims, *again], before)
        assert told or claims == again, f"claimed although {disk.name} failed"
    assert failed > 5
