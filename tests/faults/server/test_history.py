"""
Somebody rewrites the workshop's ledger behind its back: a row edited, the tail cut, the whole tree
grown anew and signed with the real key. A phone that has seen a head, or a rebuild, finds it out.
"""

import base64
import sqlite3

import pytest

from twoturns.ledger import checkpoint, record, tree
from twoturns.store import Store, newest_checkpoint
from twoturns.store.errors import Damaged, RecordsLost
from workshop import clients, uuid7


@pytest.fixture
def seen(workshop):
    """What a phone had seen before, as the header that it sends and as a head."""
    phone = workshop.enrol("mechanic")
    workshop.push(*(phone.write("job.taken", {}, uuid7()) for _ in range(9)))
    ledger = workshop.store.ledger
    head = checkpoint.open(ledger.checkpoint(), ledger.key, ledger.workshop)
    return phone, head, f"{head.size} {base64.b64encode(head.root).decode()}"


def edited(text: str) -> str:
    """Return a record with its time changed: the entry in it holds as before."""
    said = record.parse(text)
    return record.Record("2020-01-01T00:00:00.000Z", said.offset_ms, said.entry).text


def change(workshop, *statements) -> None:
    workshop.store.database.close()
    with sqlite3.connect(workshop.folder / "ledger.db") as file:
        for sql, parameters in statements:
            file.execute(sql, parameters)
    file.close()


def grow_anew(workshop) -> None:
    """Hash the tree over the records as they stand now, as one with the disk and the key would."""
    nodes = {}

    class Nodes(tree.NodesInMemory):
        def put(self, level, number, node):
            super().put(level, number, node)
            nodes[level, number] = node

    grown = tree.Tree(Nodes())
    for row in workshop.store.database.rows('select record from records order by "index"'):
        grown.append(tree.leaf_hash(row["record"].encode()))
    change(
        workshop,
        ("delete from nodes", []),
        *(("insert into nodes values (?, ?, ?)", [*key, node]) for key, node in nodes.items()),
    )


def edit_one(workshop, index: int = 5) -> None:
    row = workshop.store.database.row('select record from records where "index" = ?', [index])
    change(
        workshop,
        ('update records set record = ? where "index" = ?', [edited(row["record"]), index]),
    )


def asked(workshop, phone, header: str, path: str = "/api/log"):
    workshop.store = Store(workshop.folder)
    return clients(workshop)(phone).get(path, **{"Two-Turns-Seen": header}).json


def forget_the_newest(workshop) -> None:
    """Take the checkpoint beside the database away, as one who changes one changes both."""
    workshop.store.database.close()
    (workshop.folder / newest_checkpoint.NAME).unlink()
    change(workshop, ("PRAGMA application_id = 0", []))


def test_an_edited_record_is_given_to_nobody_and_stops_a_rebuild(workshop, seen):
    phone, _, header = seen
    edit_one(workshop)
    answer = asked(workshop, phone, header)
    assert (answer["code"], "the record at 5" in answer["message"]) == ("damaged", True)
    with pytest.raises(Damaged, match="not the one the tree was grown over"):
        workshop.store.rebuild()
    with pytest.raises(Damaged, match="the record at 5"):
        workshop.store.look_over()


def test_a_history_grown_anew_and_signed_is_another_root_to_all_who_saw_the_first(workshop, seen):
    phone, head, header = seen
    edit_one(workshop)
    grow_anew(workshop)
    with pytest.raises(Damaged, match="not those that the workshop had signed for"):
        Store(workshop.folder)
    forget_the_newest(workshop)
    workshop.store = Store(workshop.folder)
    assert workshop.store.rebuild() == []  # with the disk and the key the ledger agrees with itself
    assert asked(workshop, phone, header)["rewound"] is True
    # Told nothing, the phone asks for the proof from the head that it saw: there is none.
    workshop.push(phone.write("job.taken", {}, uuid7()))
    now = workshop.store.ledger
    path = asked(workshop, phone, header, f"/api/consistency?from={head.size}&to={now.size()}")
    nodes = [base64.b64decode(node) for node in path["path"]]
    root = now.root_at(now.size())
    assert not tree.verify_consistency(head.size, now.size(), head.root, root, nodes)


def test_a_cut_tail_is_told_to_the_first_phone_that_saw_more(workshop, seen):
    phone, head, header = seen
    change(
        workshop,
        ('delete from records where "index" >= 8', []),
        ("delete from nodes where (number + 1) << level > 8", []),
    )
    with pytest.raises(RecordsLost, match=f"has 8 records, and had {head.size}"):
        Store(workshop.folder)
    forget_the_newest(workshop)
    workshop.store = Store(workshop.folder)
    workshop.store.rebuild()
    assert workshop.store.ledger.size() == 8 < head.size
    assert asked(workshop, phone, header)["rewound"] is True
    ours = checkpoint.open(
        workshop.store.ledger.checkpoint(),
        workshop.store.ledger.key,
        workshop.store.ledger.workshop,
    )
    header = f"8 {base64.b64encode(ours.root).decode()}"
    assert asked(workshop, phone, header)["rewound"] is False
