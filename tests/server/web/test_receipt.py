"""
A device comes back to a workshop that was put back to before it came in, by its receipt.

Found by the simulation (seeds 774 and 784): such a phone could never sign in again, and what its
screen had shown as kept stayed on it for good.
"""

import shutil
from datetime import timedelta

import pytest

from twoturns.ledger import checkpoint, entry, recovery
from twoturns.ledger.record import Record
from twoturns.ledger.tree import NodesInMemory, Tree
from twoturns.store import Store
from twoturns.store.backup import back_up
from twoturns.store.keyring import KEY_FILE
from twoturns.store.restore import restore
from twoturns.store.succession import commit, recover, rotate
from twoturns.web.proofs import in_base64
from workshop import NOON, Phone, Workshop, clients

PAPER, NEXT = b"p" * 16, b"n" * 16


class Came:
    """A phone that came in by HTTP, its enrolment, and the receipt that it keeps."""

    def __init__(self, workshop, role="mechanic", invitation=None):
        invitation, secret, person = invitation or workshop.invite(role)
        self.phone = Phone(workshop.store.ledger.workshop, person, role)
        self.line = workshop.enrolment(self.phone, invitation, secret).line
        self.receipt = self.ask(workshop)

    def ask(self, workshop):
        answer = self.again(workshop, None)
        assert answer.status_code == 200, answer.json
        place = {name: answer.json[name] for name in ("index", "record", "proof")}
        invitation, head = answer.json["invitation"], answer.json["checkpoint"]
        return {"checkpoint": head, "invitation": invitation, "enrolment": place}

    def again(self, workshop, receipt):
        more = {} if receipt is None else {"receipt": receipt}
        return clients(workshop)().post("/api/enrol", {"line": self.line, **more})


@pytest.fixture
def backup(tmp_path, workshop):
    return tmp_path / "backup"


def put_back(workshop, backup):
    folder = workshop.folder.parent / f"put-back-{workshop.folder.name}"
    restore(backup, folder)
    shutil.copy(workshop.folder / KEY_FILE, folder)
    workshop.folder, workshop.store = folder, Store(folder)
    workshop.now += timedelta(hours=2)  # every invitation is over


def refused(answer) -> str:
    assert (answer.status_code, answer.json["code"]) == (403, "enrolment-refused"), answer.json
    return answer.json["message"]


def is_in(workshop, phone) -> bool:
    device = workshop.store.views.device(phone.id)
    return device is not None and not device.is_revoked


def forged(workshop, key, *entries):
    """Make the receipt that whoever has a key can make of an invitation and an enrolment."""
    tree = Tree(NodesInMemory())
    texts = [Record("2026-11-24T12:00:00.000Z", 0, one).text for one in entries]
    for one in entries:
        tree.append(Record("2026-11-24T12:00:00.000Z", 0, one).leaf)
    shown = [
        {"index": index, "record": text, "proof": in_base64(tree.inclusion_of([index], tree.size))}
        for index, text in enumerate(texts)
    ]
    head = checkpoint.sign(key, workshop.store.ledger.workshop, tree.size, tree.root())
    return {"checkpoint": head, "invitation": shown[0], "enrolment": shown[1]}


def said_by(workshop, entry_id):
    rows = workshop.store.database.rows("select record from records where id = ?", [entry_id])
    return entry.parse(rows[0]["record"].split(" ", 2)[2])


def test_a_phone_whose_invitation_is_lost_comes_back_and_sends_what_it_holds(workshop, backup):
    back_up(workshop.store, backup, NOON)
    came = Came(workshop)
    said = came.phone.write("job.taken", {}, "00000000-0000-7000-8000-0000000000aa")
    put_back(workshop, backup)
    asked = clients(workshop)().post("/api/session/nonce", {"device": came.phone.id})
    assert (asked.status_code, asked.json["code"]) == (401, "unknown-device")
    assert refused(came.again(workshop, None)) == "no invitation of this id counts"

    answer = came.again(workshop, came.receipt)
    assert answer.status_code == 200, answer.json
    assert clients(workshop)(came.phone).push(said).json["refused"] == []
    standings = workshop.store.database.rows("select distinct standing from entries")
    # A gap: `backup.made`, which the console had stated before the invitation, is lost as well.
    assert {row["standing"] for row in standings} == {"good", "gap"}
    # Its answer may be lost: sent once more it has the same place.
    assert came.again(workshop, came.receipt).json["index"] == answer.json["index"]
    workshop.store.rebuild()
    assert is_in(workshop, came.phone)


def test_a_phone_whose_enrolment_alone_is_lost_comes_back(workshop, backup):
    invitation = workshop.invite("mechanic")
    back_up(workshop.store, backup, NOON)
    came = Came(workshop, invitation=invitation)
    put_back(workshop, backup)
    assert "over" in refused(came.again(workshop, None))
    assert came.again(workshop, came.receipt).status_code == 200


def test_a_link_that_another_phone_used_since_lets_nobody_back_in(workshop, backup):
    invitation = workshop.invite("mechanic", hours=9)
    back_up(workshop.store, backup, NOON)
    came = Came(workshop, invitation=invitation)
    put_back(workshop, backup)
    Came(workshop, invitation=invitation)
    assert "before" in refused(came.again(workshop, came.receipt))


def test_an_old_link_that_was_never_used_has_no_receipt(workshop, backup):
    back_up(workshop.store, backup, NOON)
    old, came = workshop.invite("owner"), Came(workshop)
    put_back(workshop, backup)
    finder = Phone(workshop.store.ledger.workshop, old[2], "owner")
    line = workshop.enrolment(finder, old[0], old[1]).line
    for receipt in (
        came.receipt,  # another device's
        {**came.receipt, "enrolment": {**came.receipt["enrolment"], "record": f"{_stamp} {line}"}},
    ):
        said = {"line": line, "receipt": receipt}
        refused(clients(workshop)().post("/api/enrol", said))
    assert workshop.store.views.device(finder.id) is None


_stamp = "2026-11-24T12:00:00.000Z ?"


@pytest.mark.parametrize("name", ["invitation", "enrolment"])
def test_a_receipt_that_was_changed_proves_nothing(workshop, backup, name):
    back_up(workshop.store, backup, NOON)
    came, other = Came(workshop), Came(workshop)
    put_back(workshop, backup)
    shown = came.receipt[name]
    for changed in (
        {**shown, "proof": shown["proof"][:-1]},
        {**shown, "index": shown["index"] - 1},
        {**shown, "record": "no record"},
        other.receipt[name],
    ):
        refused(came.again(workshop, {**came.receipt, name: changed}))
    strange = came.again(workshop, {**came.receipt, "more": 1})
    assert (strange.status_code, strange.json["code"]) == (422, "invalid")
    assert came.again(workshop, came.receipt).status_code == 200


def test_a_receipt_of_another_workshop_proves_nothing(workshop, backup, tmp_path):
    back_up(workshop.store, backup, NOON)
    came, elsewhere = Came(workshop), Workshop(tmp_path / "elsewhere")
    theirs = Came(elsewhere)
    put_back(workshop, backup)
    assert "did not sign" in refused(came.again(workshop, theirs.receipt))
    # Nor one that another workshop's key made of this one's own records.
    invitation = said_by(elsewhere, entry.parse(theirs.line).body["invitation"])
    made = forged(workshop, elsewhere.store.ledger.signer(), invitation, entry.parse(came.line))
    assert "did not sign" in refused(came.again(workshop, made))


def test_who_stole_a_key_that_was_recovered_from_makes_no_receipt_of_whatever_size(workshop):
    commit(workshop.store, PAPER, before=None, now=NOON)
    invitation, secret, person = workshop.invite("owner", hours=0)
    finder = Phone(workshop.store.ledger.workshop, person, "owner")
    said = workshop.enrolment(finder, invitation, secret)
    stolen = workshop.store.ledger.signer()
    made = forged(workshop, stolen, said_by(workshop, invitation), said)
    recover(workshop.store, PAPER, then=NEXT, size=None, now=NOON)
    assert len(workshop.store.ledger.roster().recoveries) == 1
    answer = clients(workshop)().post("/api/enrol", {"line": said.line, "receipt": made})
    assert "did not sign" in refused(answer)
    assert workshop.store.views.device(finder.id) is None


def test_a_receipt_is_made_anew_for_a_new_key(workshop, backup):
    back_up(workshop.store, backup, NOON)
    came, missed = Came(workshop, "owner"), Came(workshop)
    invitation = came.phone.write("device.invited", _inviting(missed.phone.person))
    workshop.push(invitation)
    rotate(workshop.store, NOON)
    renewed = came.ask(workshop)
    put_back(workshop, backup)
    assert "did not sign" in refused(missed.again(workshop, missed.receipt))
    # What the key before said of invitations counts no more either: the owner invites anew.
    assert "no invitation" in refused(came.again(workshop, renewed))


def _inviting(person):
    key = recovery.signing_key(b"k" * 16).key
    return {"key": key, "person": person, "role": "mechanic", "until": "2026-11-24T13:00:00.000Z"}


def test_an_invitation_of_somebody_who_may_not_invite_any_more_is_not_brought_back(
    workshop, backup
):
    owner = workshop.enrol("owner")
    back_up(workshop.store, backup, NOON)
    person = "0000ffff-0000-7000-8000-0000000000aa"
    said = owner.write("device.invited", _inviting(person))
    workshop.push(said)
    came = Came(workshop, invitation=(said.id, recovery.signing_key(b"k" * 16), person))
    put_back(workshop, backup)
    workshop.store.ledger.state(
        "device.revoked", {"device": owner.id, "because": "a thief has it"}, workshop.now
    )
    assert refused(came.again(workshop, came.receipt)) == "no invitation of this id counts"
    assert said.id not in [
        row["id"] for row in workshop.store.database.rows("select id from records")
    ]


def test_a_revoked_phone_comes_back_until_its_revocation_does(workshop, backup):
    owner = workshop.enrol("owner")
    back_up(workshop.store, backup, NOON)
    came = Came(workshop)
    revoked = owner.write("device.revoked", {"device": came.phone.id, "because": "lost"})
    workshop.push(revoked)
    put_back(workshop, backup)
    assert came.again(workshop, came.receipt).status_code == 200
    assert is_in(workshop, came.phone)  # nobody here knows of it
    assert clients(workshop)(owner).push(revoked).json["refused"] == []
    assert not is_in(workshop, came.phone)


@pytest.mark.parametrize("by_receipt", [True, False])
def test_a_revocation_that_comes_back_first_holds_all_the_same(workshop, backup, by_receipt):
    owner = workshop.enrol("owner")
    back_up(workshop.store, backup, NOON)
    came = Came(workshop)
    note = came.phone.write("job.taken", {}, "00000000-0000-7000-8000-0000000000aa")
    revoked = owner.write("device.revoked", {"device": came.phone.id, "because": "lost"})
    workshop.push(revoked)
    invitation = said_by(workshop, entry.parse(came.line).body["invitation"])
    put_back(workshop, backup)
    client = clients(workshop)(owner)
    assert client.push(revoked).json["refused"] == []
    if by_receipt:
        assert came.again(workshop, came.receipt).status_code == 200
    else:
        assert client.push(invitation, entry.parse(came.line)).json["refused"] == []
    assert workshop.store.views.device(came.phone.id).is_revoked
    held = clients(workshop)(came.phone).push(note).json["held"]
    assert held == {note.id: "doubted"}
    workshop.store.rebuild()
    assert not is_in(workshop, came.phone)


def test_a_phone_that_was_shut_out_stays_so(workshop, backup):
    owner = workshop.enrol("owner")
    back_up(workshop.store, backup, NOON)
    came = Came(workshop)
    shut = owner.write("device.shut", {"device": came.phone.id, "because": "floods us"})
    put_back(workshop, backup)
    clients(workshop)(owner).push(shut)
    came.again(workshop, came.receipt)
    client = clients(workshop)()
    nonce = client.post("/api/session/nonce", {"device": came.phone.id}).json["nonce"]
    said = {"device": came.phone.id, "nonce": nonce, "signature": came.phone.sign(b"whatever")}
    assert client.post("/api/session", said).json["code"] == "device-shut"
