"""Work spread over processes comes back whole and in order, and what is found in one is told."""

import sqlite3

import pytest

from twoturns.ledger.canonical import dumps
from twoturns.store import check, cores
from twoturns.store.errors import Damaged
from twoturns.store.generations import read_ledger, workshop_of
from twoturns.store.ledger_copy import write_ledger
from workshop import uuid7


def test_what_comes_of_each_piece_comes_in_order_by_however_many(monkeypatch):
    monkeypatch.setattr("os.cpu_count", lambda: 3)
    expected = [str(number).encode() for number in range(20)]
    assert list(cores.on_all_cores(dumps, iter(range(20)))) == expected
    assert list(cores.on_all_cores(dumps, iter(range(3)))) == expected[:3]


@pytest.mark.embedded("it copies SQLite's file")
def test_a_forged_record_is_found_by_whoever_looks_at_it(workshop, tmp_path, monkeypatch):
    monkeypatch.setattr(cores, "DONE_HERE", 1)
    monkeypatch.setattr(check, "AT_ONCE", 5)
    phone = workshop.enrol("mechanic")
    workshop.push(*(phone.write("job.taken", {}, uuid7()) for _ in range(30)))
    write_ledger(workshop.folder / "ledger.db", tmp_path / "copy.db")
    with read_ledger(tmp_path / "copy.db") as db:
        records = list(check.checked_records(db))
        assert check.check_signatures(iter(records), workshop_of(db)) == len(records)
    with sqlite3.connect(tmp_path / "copy.db") as file:
        texts = [row[0] for row in file.execute('select record from records order by "index"')]
    file.close()
    mine, other = texts[21].split(" ", 3), texts[20].split(" ", 3)
    records[21] = (21, " ".join([*mine[:2], other[2], mine[3]]))
    with pytest.raises(Damaged, match="the record at 21 is not one that a device"):
        check.check_signatures(iter(records), phone.workshop)
