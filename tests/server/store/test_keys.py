"""
The workshop's key on disk: handed over, recovered, raced, killed at every write, put back.

Reproduces what an attack found: one owner's device replaced the key in one request, and nothing
undid it; and a wrong key file signed for the workshop without a word.
"""

import shutil
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta

import pytest

from twoturns.ledger import base64url, checkpoint, entry, keys, recovery
from twoturns.ledger.keys import SigningKey
from twoturns.ledger.roster import Roster
from twoturns.store import Store
from twoturns.store.backup import back_up
from twoturns.store.errors import StoreError, WrongKey
from twoturns.store.invite import invite
from twoturns.store.keyring import KEY_FILE
from twoturns.store.restore import restore
from twoturns.store.succession import commit, let_in_since, recover, rotate
from workshop import NOON, Phone, Workshop, uuid7

PAPER, NEXT, OTHER = b"p" * 16, b"n" * 16, b"o" * 16
OTHER_THUMBPRINT = recovery.signing_key(OTHER).thumbprint


@pytest.fixture
def workshop(tmp_path):
    made = Workshop(tmp_path / "data")
    commit(made.store, PAPER, before=None, now=NOON)
    return made


def succession(new, by, workshop):
    message = keys.succession_message(key=new.key.key, workshop=workshop)
    signed_by = {"key": by.key, "signature": base64url.encode(by.sign(message))}
    return new.write("workshop.keyed", {"key": new.key.key, "name": "x", "signed_by": signed_by})


def codes(receipt):
    return [one["code"] for one in receipt.refused]


def key_in(folder):
    """The key of a key file: its first line is the seed."""
    return SigningKey.from_seed(bytes.fromhex((folder / KEY_FILE).read_text().splitlines()[0]))


def opens(store):
    """The newest checkpoint is signed by the key that the ledger has."""
    key = store.ledger.roster().workshop_key
    return checkpoint.open(store.ledger.checkpoint(), key, store.ledger.workshop)


# From outside


def test_one_owners_device_does_not_replace_the_key(workshop):
    owner = workshop.enrol("owner")
    new = Phone(workshop.store.ledger.workshop, "console", "console")
    said = succession(new, owner.key, workshop.store.ledger.workshop)
    assert codes(workshop.push(said)) == ["succession"]
    assert workshop.store.ledger.key == key_in(workshop.folder).key
    workshop.store.ledger.state("backup.made", {"size": 1}, NOON)
    opens(workshop.store)


def test_not_even_the_key_itself_hands_over_from_outside(workshop):
    new = Phone(workshop.store.ledger.workshop, "console", "console")
    said = succession(new, key_in(workshop.folder), workshop.store.ledger.workshop)
    for _ in range(2):  # and replayed
        receipt = workshop.push(said)
        assert codes(receipt) == ["succession"]
        assert receipt.refused[0]["hint"].startswith("It is done on the workshop's own computer")


def test_a_succession_that_the_ledger_holds_earns_its_receipt_again(workshop):
    rotate(workshop.store, NOON)
    row = workshop.store.database.row(
        "select record from records join entries using (\"index\") where kind = 'workshop.keyed'"
        ' order by "index" desc limit 1'
    )
    line = row["record"].split(" ", 2)[2]
    receipt = workshop.store.ledger.append([line], [], received=NOON, offset_ms=0)
    assert (receipt.refused, len(receipt.indices)) == ([], 1)


# Handing over


def test_a_new_key_goes_on_where_the_one_before_was(workshop):
    phone = workshop.enrol("mechanic")
    old = workshop.store.ledger.key
    new = rotate(workshop.store, NOON)
    assert workshop.store.ledger.key == new != old
    assert workshop.store.name == "Workshop at the Weir"
    assert opens(workshop.store).size == workshop.store.ledger.size()
    assert (workshop.folder / KEY_FILE).stat().st_mode & 0o777 == 0o600
    assert [path.name for path in workshop.folder.glob(f"{KEY_FILE}.*")] == []
    workshop.open_job(phone)
    workshop.enrol("owner")
    assert workshop.store.rebuild() == []
    rows = workshop.store.database.rows("select standing from entries")
    assert {row["standing"] for row in rows} == {"good"}


def test_a_running_server_goes_on_with_the_key_that_another_process_made(workshop):
    running = Store(workshop.folder)
    before = running.ledger.checkpoint()
    new = rotate(workshop.store, NOON)
    assert running.ledger.key == new
    head = checkpoint.open(running.ledger.checkpoint(), new, running.ledger.workshop)
    assert (
        head.size
        > checkpoint.open(
            before, running.ledger.roster().workshop_keys()[-2], running.ledger.workshop
        ).size
    )
    running.ledger.state("backup.made", {"size": 1}, NOON)
    row = running.database.row('select standing from entries order by "index" desc limit 1')
    assert row["standing"] == "good"


def test_two_that_rotate_side_by_side_leave_one_key_and_its_file(workshop):
    one, other = Store(workshop.folder), Store(workshop.folder)
    first, second = rotate(one, NOON), rotate(other, NOON)
    assert one.ledger.key == other.ledger.key == second != first
    assert Store(workshop.folder).ledger.key == second
    assert len(one.ledger.roster().workshop_keys()) == 3


# Recovering


def test_a_lost_key_is_recovered_and_everything_stands(workshop):
    phone = workshop.enrol("mechanic")
    workshop.open_job(phone)
    (workshop.folder / KEY_FILE).unlink()
    with pytest.raises(WrongKey, match="is missing") as caught:
        Store(workshop.folder)
    assert "twoturns key recover" in caught.value.hint
    store = Store(workshop.folder, needs_key=False)
    undone = recover(store, PAPER, then=NEXT, size=None, now=NOON)
    assert undone.statements == {}
    again = Store(workshop.folder)
    assert again.ledger.key == store.ledger.key
    opens(again)
    assert {row["standing"] for row in again.database.rows("select standing from entries")} == {
        "good"
    }


def test_what_gives_or_takes_a_right_since_the_paper_is_told_and_no_more_than_that(workshop):
    def told(now=NOON):
        return [does for _, _, does in let_in_since(workshop.store, now)]

    assert told() == []
    owner, mechanic = workshop.enrol("owner"), workshop.enrol("mechanic")
    workshop.open_job(mechanic)
    serves = {"device": mechanic.id, "persons": [owner.person]}
    workshop.push(owner.write("device.serves", serves))
    gone = {"device": mechanic.id, "because": "x"}
    workshop.store.ledger.state("device.revoked", gone, NOON)
    workshop.invite("owner")
    rotate(workshop.store, NOON)
    said = {"recovery": OTHER_THUMBPRINT}
    workshop.store.ledger.state("recovery.committed", said, NOON)
    assert told() == [
        f"device {owner.id} came in: owner",
        f"device {mechanic.id} speaks for 1 more, by device {owner.id}",
        f"device {mechanic.id} was revoked, by a workshop key",
        "an open invitation of one owner, by a workshop key",
        f"the workshop's key became {workshop.store.ledger.key}",
        f"a recovery key that does not count: {OTHER_THUMBPRINT}",
    ]
    assert len(told(NOON + timedelta(days=400))) == 5  # the invitation is over


def test_a_stolen_key_is_beaten_and_what_it_stated_is_undone(workshop):
    owner, mechanic = workshop.enrol("owner"), workshop.enrol("mechanic")
    job = workshop.open_job(mechanic)
    trusted = workshop.store.ledger.size()
    # The thief: an owner of his own, everybody else out, another key; and the server served on.
    thief = workshop.enrol("owner")
    for device in (owner, mechanic):
        body = {"device": device.id, "because": "x"}
        workshop.store.ledger.state("device.revoked", body, NOON)
    doubted = mechanic.write("job.taken", {}, job)
    workshop.push(doubted)
    late = workshop.open_job(thief)
    rotate(workshop.store, NOON)
    workshop.push(thief.write("lot.recalled", {"lot": "L1", "because": "x"}))
    head = opens(workshop.store)

    (workshop.folder / KEY_FILE).unlink()
    store = Store(workshop.folder, needs_key=False)
    undone = recover(store, PAPER, then=NEXT, size=trusted, now=NOON)
    assert undone.statements["device.revoked"] == 2
    assert undone.statements["workshop.keyed"] == 1
    now = Store(workshop.folder)
    assert now.ledger.root_at(head.size) == head.root  # the records are all there
    standing = {row["id"]: row["standing"] for row in now.database.rows("select * from entries")}
    assert standing[doubted.id] == "good"
    assert not now.views.device(owner.id).is_revoked
    assert now.views.device(thief.id).is_revoked
    assert now.database.rows("select * from recalled_lots") == []
    row = now.database.row("select standing from entries where job = ?", [late])
    assert row["standing"] == "doubted"
    # What phones pulled before is told them anew.
    page = now.pages.page(head.size, limit=10)
    assert page.standings[doubted.id] == "good"
    before = dump(now)
    assert now.rebuild() == []
    assert dump(now) == before
    workshop.store = now
    assert workshop.push(thief.write("lot.recalled", {"lot": "L2", "because": "x"})).refused == []
    assert now.database.rows("select * from recalled_lots") == []
    workshop.enrol("owner")


def dump(store):
    tables = ("entries", "devices", "kept", "jobs", "recalled_lots", "backups", "heads", "accepted")
    return {table: store.database.rows(f"select * from {table} order by 1") for table in tables}


def test_private_values_kept_by_the_stolen_key_are_kept_by_the_new_one(workshop):
    mechanic = workshop.enrol("mechanic")
    trusted = workshop.store.ledger.size()
    workshop.open_job(mechanic)
    kept = set(workshop.store.views.kept())
    gone = next(iter(kept))
    workshop.store.blobs.erase(gone)
    recover(workshop.store, PAPER, then=NEXT, size=trusted, now=NOON)
    assert set(workshop.store.views.kept()) == kept - {gone}
    assert all(workshop.store.views.kept_at(blob) > trusted for blob in kept - {gone})


@pytest.mark.parametrize(
    ("paper", "size", "fact"),
    [
        (OTHER, None, "not the recovery key in force"),
        (PAPER, 10**6, "cannot be what is trusted"),
        (PAPER, 1, "cannot be what is trusted"),
    ],
)
def test_a_recovery_that_would_not_count_changes_nothing(workshop, paper, size, fact):
    before = (workshop.store.ledger.size(), (workshop.folder / KEY_FILE).read_bytes())
    with pytest.raises(StoreError, match=fact) as caught:
        recover(workshop.store, paper, then=NEXT, size=size, now=NOON)
    assert caught.value.hint
    assert before == (workshop.store.ledger.size(), (workshop.folder / KEY_FILE).read_bytes())


def test_paper_is_used_once_and_the_next_one_works(workshop):
    recover(workshop.store, PAPER, then=NEXT, size=None, now=NOON)
    with pytest.raises(StoreError, match="not the recovery key in force"):
        recover(workshop.store, PAPER, then=OTHER, size=None, now=NOON)
    recover(workshop.store, NEXT, then=OTHER, size=None, now=NOON)
    assert len(workshop.store.ledger.roster().recoveries) == 2


def test_a_workshop_without_paper_says_so(tmp_path):
    store = Workshop(tmp_path / "data").store
    with pytest.raises(StoreError, match="has no recovery key"):
        recover(store, PAPER, then=NEXT, size=None, now=NOON)


def test_a_second_commitment_takes_the_paper_before(workshop):
    for before in (None, OTHER):
        with pytest.raises(StoreError, match="not the recovery key in force"):
            commit(workshop.store, OTHER, before=before, now=NOON)
    commit(workshop.store, NEXT, before=PAPER, now=NOON)
    with pytest.raises(StoreError, match="not the recovery key in force"):
        recover(workshop.store, PAPER, then=OTHER, size=None, now=NOON)
    recover(workshop.store, NEXT, then=OTHER, size=None, now=NOON)


def test_a_new_workshop_is_committed_by_its_first_record(tmp_path):
    thumbprint = recovery.signing_key(PAPER).thumbprint
    store = Store.create(tmp_path / "data", "Weir", NOON, recovery=thumbprint)
    assert [one.recovery for one in store.ledger.roster().commitments] == [thumbprint]
    recover(store, PAPER, then=NEXT, size=1, now=NOON)
    opens(store)


# The key file


@pytest.mark.parametrize("text", [b"11" * 32, b"zz", b"", b"\xff", b"abcd"])
def test_a_wrong_key_file_stops_everything_with_the_way_out(workshop, text):
    (workshop.folder / KEY_FILE).write_bytes(text)
    with pytest.raises(WrongKey, match=r"holds no key|does not hold the key") as caught:
        Store(workshop.folder)
    assert "twoturns key recover" in caught.value.hint


def test_a_running_server_stops_signing_when_its_key_was_recovered_elsewhere(workshop, tmp_path):
    """The folder was copied, and recovered there; then its database came back without the key."""
    running = Store(workshop.folder)
    old = (workshop.folder / KEY_FILE).read_bytes()
    recover(workshop.store, PAPER, then=NEXT, size=None, now=NOON)
    (workshop.folder / KEY_FILE).write_bytes(old)
    for act in (
        running.ledger.checkpoint,
        lambda: running.pages.page(0, limit=1),
        lambda: running.ledger.state("backup.made", {"size": 1}, NOON),
        lambda: running.ledger.append([], [], received=NOON, offset_ms=0),
        lambda: invite(running, role="owner", person=Phone("x", "y", "z").id, until=NOON, now=NOON),
        lambda: back_up(running, tmp_path / "backup", NOON),
    ):
        size = running.ledger.size()
        with pytest.raises(WrongKey):
            act()
        assert running.ledger.size() == size


def test_an_older_backup_and_todays_key_file_go_on_together(workshop, tmp_path):
    backup = tmp_path / "backup"
    phone = workshop.enrol("mechanic")
    back_up(workshop.store, backup, NOON)
    for _ in range(2):
        rotate(workshop.store, NOON)
    recover(workshop.store, PAPER, then=NEXT, size=None, now=NOON)
    new = rotate(workshop.store, NOON)
    commit(workshop.store, OTHER, before=NEXT, now=NOON)
    restore(backup, put_back := tmp_path / "put-back")
    shutil.copy(workshop.folder / KEY_FILE, put_back)
    store = Store(put_back)
    assert store.ledger.key == new
    assert store.ledger.roster().commitments[-1].recovery == recovery.signing_key(OTHER).thumbprint
    opens(store)
    restored = workshop
    restored.store, restored.folder = store, put_back
    restored.open_job(phone)
    restored.enrol("owner")
    numbers = store.database.rows("select device, seq from entries")
    assert len({(row["device"], row["seq"]) for row in numbers}) == len(numbers)


def test_a_key_file_of_before_this_form_is_read(workshop):
    seed = (workshop.folder / KEY_FILE).read_text().splitlines()[0]
    (workshop.folder / KEY_FILE).write_text(seed)
    assert Store(workshop.folder).ledger.key == key_in(workshop.folder).key


def test_another_workshops_chain_leads_nowhere(workshop, tmp_path):
    other = Workshop(tmp_path / "other")
    rotate(other.store, NOON)
    shutil.copy(other.folder / KEY_FILE, workshop.folder / KEY_FILE)
    size = workshop.store.ledger.size()
    with pytest.raises(WrongKey):
        Store(workshop.folder)
    assert workshop.store.ledger.size() == size


def test_a_chain_that_was_broken_leads_nowhere(workshop, tmp_path):
    backup = tmp_path / "backup"
    back_up(workshop.store, backup, NOON)
    rotate(workshop.store, NOON)
    seed, line = (workshop.folder / KEY_FILE).read_text().splitlines()[:1], "no line"
    restore(backup, put_back := tmp_path / "put-back")
    (put_back / KEY_FILE).write_text("\n".join([*seed, line]))
    with pytest.raises(WrongKey, match="is no statement"):
        Store(put_back)


def test_backups_go_on_whoever_holds_the_key(workshop, tmp_path):
    backup, mechanic = tmp_path / "backup", workshop.enrol("mechanic")
    trusted = workshop.store.ledger.size()
    for change in (
        lambda: None,
        lambda: rotate(workshop.store, NOON),
        lambda: workshop.open_job(mechanic),
        lambda: recover(workshop.store, PAPER, then=NEXT, size=trusted, now=NOON),
    ):
        change()
        back_up(workshop.store, backup, NOON)
    restored = restore(backup, put_back := tmp_path / "put-back")
    shutil.copy(workshop.folder / KEY_FILE, put_back)
    assert restored.size == Store(put_back).ledger.size()
    assert Store(put_back).ledger.roster().recoveries == workshop.store.ledger.roster().recoveries


def test_the_statements_that_lead_to_the_key_are_proven_and_enough(workshop):
    workshop.enrol("owner")
    rotate(workshop.store, NOON)
    recover(workshop.store, PAPER, then=NEXT, size=3, now=NOON)
    chain = workshop.store.ledger.succession()
    roster = Roster(workshop.store.ledger.workshop)
    for index, text in chain.records:
        roster.apply(index, entry.parse(text.split(" ", 2)[2]))
    assert roster.workshop_key == workshop.store.ledger.key
    checkpoint.open(chain.checkpoint, roster.workshop_key, roster.workshop)


def test_keys_that_change_hands_while_phones_push_leave_one_line_of_keys(workshop):
    """Three consoles hand over, two recover with one paper, a phone pushes: all at once."""
    phone = workshop.enrol("mechanic")
    jobs = [phone.write("job.taken", {}, uuid7()) for _ in range(20)]
    done: list[str] = []

    def hand_over():
        store = Store(workshop.folder)
        done.extend(rotate(store, NOON) for _ in range(3))

    def take_back():
        try:
            recover(Store(workshop.folder), PAPER, then=NEXT, size=None, now=NOON)
            done.append("recovered")
        except StoreError as refused:
            assert refused.code == "wrong-paper"  # noqa: PT017 - either may be first

    def push():
        store = Store(workshop.folder)
        for one in jobs:
            assert not store.ledger.append([one.line], [], received=NOON, offset_ms=0).refused

    with ThreadPoolExecutor() as pool:
        acts = [hand_over, hand_over, hand_over, take_back, take_back, push]
        for each in [pool.submit(act) for act in acts]:
            each.result()
    assert done.count("recovered") == 1
    assert len(done) == 10
    store = Store(workshop.folder)
    assert len(store.ledger.roster().workshop_keys()) == 11
    assert list(workshop.folder.glob(f"{KEY_FILE}.*")) == []
    opens(store)
    assert {row["standing"] for row in store.database.rows("select standing from entries")} == {
        "good"
    }
