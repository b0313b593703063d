"""
The workshop key changes hands, and the process is killed, or its disk fails, at every call.

Whenever it happens: who opens the folder next signs with the key that the ledger names, and the
same command, given again, runs through. Never are ledger and key file apart for good.
"""

import errno
import shutil
import sqlite3

import pytest

from faults.server.disk import Failing, hooked, killed_at
from twoturns.ledger import checkpoint, recovery
from twoturns.store import Store
from twoturns.store.errors import WorkshopFull
from twoturns.store.keyring import KEY_FILE
from twoturns.store.succession import commit, recover, rotate
from workshop import NOON, Workshop

pytestmark = pytest.mark.slow(20)

PAPER, NEXT, LAST = b"p" * 16, b"n" * 16, b"l" * 16
TOLD_AS = {errno.EIO: (OSError, sqlite3.OperationalError), errno.ENOSPC: WorkshopFull}


def paper_in_force(store):
    """Which of the papers is good now, and the one to go on with."""
    before = {one.recovery for one in store.ledger.roster().commitments}
    papers = [PAPER, NEXT, LAST]
    good = [one for one in papers if recovery.signing_key(one).thumbprint in before]
    return good[-1], papers[len(good) % len(papers)]


def hand_over(store):
    rotate(store, NOON)


def take_back(store):
    paper, then = paper_in_force(store)
    size = max(7, store.ledger.roster().commitments[-1].index + 1)
    recover(store, paper, then=then, size=size, now=NOON)


def change_paper(store):
    paper, then = paper_in_force(store)
    commit(store, then, before=paper, now=NOON)


ACTS = {"rotate": hand_over, "recover": take_back, "commit": change_paper}


@pytest.fixture
def before(tmp_path):
    """A workshop with a job, and some of what it stated not to be trusted."""
    made = Workshop(tmp_path / "before")
    commit(made.store, PAPER, before=None, now=NOON)
    phone = made.enrol("mechanic")
    made.open_job(phone)
    made.enrol("owner")
    made.store.database.close()
    return tmp_path / "before"


def holds(folder):
    """Whoever opens it next signs with the key that the ledger names; records and views agree."""
    store = Store(folder)
    key = store.ledger.roster().workshop_key
    head = checkpoint.open(store.ledger.checkpoint(), key, store.ledger.workshop)
    assert head.size == store.ledger.size()
    assert store.keyring.read().key.key == key
    store.ledger.state("retention.set", {"days": 30}, NOON)
    row = store.database.row('select standing from entries order by "index" desc limit 1')
    assert row["standing"] == "good"
    assert store.rebuild() == []
    store.database.close()


def again(folder, act):
    store = Store(folder)
    keys = len(store.ledger.roster().workshop_keys())
    act(store)
    assert len(store.ledger.roster().workshop_keys()) == keys + (act is not change_paper)
    assert list(folder.glob(f"{KEY_FILE}.*")) == []
    store.database.close()


@pytest.mark.parametrize("name", ACTS)
def test_killed_at_every_call(before, tmp_path, name):
    act, points = ACTS[name], []
    for n in range(1, 500):
        folder = tmp_path / "now"
        shutil.copytree(before, folder)

        def run(_, folder=folder):
            act(Store(folder))

        point, _ = killed_at(n, folder, run)
        holds(folder)
        if not point:
            break
        points.append(point)
        again(folder, act)
        holds(folder)
        shutil.rmtree(folder)
    assert any(point.startswith("in write") for point in points), points
    assert any(point.startswith("before replace") for point in points), points
    assert any("commit" in point for point in points)


@pytest.mark.parametrize("number", TOLD_AS, ids=errno.errorcode.get)
@pytest.mark.parametrize("name", ACTS)
def test_a_disk_that_fails_at_any_call_is_told(before, tmp_path, name, number):
    act = ACTS[name]
    for n in range(1, 2000):
        folder = tmp_path / "now"
        shutil.copytree(before, folder)
        disk = Failing(n, number)
        with hooked(disk, folder):
            try:
                store = Store(folder)
                act(store)
                told = False
            except TOLD_AS[number]:
                told = True
        store.database.close()
        assert told == bool(disk.name), disk.name
        holds(folder)
        if not disk.name:
            break
        again(folder, act)
        shutil.rmtree(folder)
    assert n > 5
