"""What goes into the ledger, what does not, and what a receipt promises."""

import pytest

from twoturns.ledger import checkpoint, entry, record, tree
from twoturns.ledger.errors import EnrolmentRefused
from twoturns.ledger.keys import SigningKey
from twoturns.ledger.roster import Roster
from twoturns.store import Store
from twoturns.store.enrolment import let_in
from twoturns.store.errors import LineRefused
from workshop import NOON, Phone, Workshop, opening, private_value, uuid7

pytestmark = pytest.mark.both_ledgers


def root_by_hand(store: Store) -> bytes:
    """Return the root over the records as they stand, computed anew."""
    texts = [text for _, text in store.pages.page(0, limit=10_000).records]
    whole = tree.Tree(tree.NodesInMemory())
    for text in texts:
        whole.append(record.parse(text).leaf)
    return whole.root()


def opened(receipt, workshop: Workshop) -> checkpoint.Checkpoint:
    ledger = workshop.store.ledger
    return checkpoint.open(receipt.checkpoint, ledger.key, ledger.workshop)


def test_a_batch_earns_an_index_for_each_id_below_a_signed_size(workshop):
    phone, job = workshop.enrol("mechanic"), uuid7()
    vin, plate = private_value("vin", "TT1"), private_value("plate", "W1")
    said = [phone.write("job.opened", opening(vin, plate), job)]
    said += [phone.write("job.taken", {}, job) for _ in range(20)]
    receipt = workshop.push(*said, blobs=(vin, plate))

    head = opened(receipt, workshop)
    assert [receipt.indices[one.id] for one in said] == list(range(3, 24))
    assert head.size == 25  # the workshop's own `blob.kept` comes last
    assert head.root == root_by_hand(workshop.store)
    (index, text) = receipt.kept[0]
    kept = record.parse(text).entry
    assert (index, kept.kind, len(kept.body["blobs"])) == (24, "blob.kept", 2)
    assert entry.verify(kept, workshop.store.ledger.key)


def test_a_lost_answer_is_asked_for_again_and_is_the_same(workshop):
    phone, job = workshop.enrol("mechanic"), uuid7()
    vin, plate = private_value("vin", "TT1"), private_value("plate", "W1")
    said = phone.write("job.opened", opening(vin, plate), job)
    first = workshop.push(said, blobs=(vin, plate))
    assert workshop.push(said, blobs=(vin, plate)) == first
    assert workshop.store.ledger.size() == 5


def test_a_line_twice_in_one_batch_is_one_record(workshop):
    phone = workshop.enrol("mechanic")
    said = phone.write("job.taken", {}, uuid7())
    receipt = workshop.push(said, said)
    assert receipt.indices == {said.id: 3}
    assert workshop.store.ledger.size() == 4


def refusal_of(workshop: Workshop, line: str) -> tuple[str, int]:
    before = workshop.store.ledger.size()
    receipt = workshop.store.ledger.append([line], [], received=NOON, offset_ms=None)
    assert receipt.indices == {}
    assert workshop.store.ledger.size() == before
    (refused,) = receipt.refused
    assert refused["hint"]
    return refused["code"], refused["line"]


def test_a_wrong_signature_is_refused(workshop):
    phone, other = workshop.enrol("mechanic"), workshop.enrol("mechanic")
    job = uuid7()
    signature = other.write("job.taken", {}, job).line.partition(" ")[0]
    _, _, text = phone.write("job.taken", {}, job).line.partition(" ")
    assert refusal_of(workshop, f"{signature} {text}") == ("wrong-signature", 0)


def test_a_missing_field_a_space_and_a_foreign_workshop_are_refused(workshop):
    phone = workshop.enrol("mechanic")
    line = phone.write("job.taken", {}, uuid7()).line
    assert refusal_of(workshop, line.replace("job.taken", "step.begun"))[0] == "bad-body"
    assert refusal_of(workshop, line.replace('"body":{}', '"body": {}'))[0] == "not-canonical"
    foreign = Phone(phone.key.thumbprint, phone.person, "mechanic")
    assert refusal_of(workshop, foreign.write("job.taken", {}, uuid7()).line) == (
        "foreign-workshop",
        0,
    )


def test_a_device_nobody_enrolled_is_refused(workshop):
    stranger = Phone(workshop.store.ledger.workshop, uuid7(), "owner")
    assert refusal_of(workshop, stranger.write("job.taken", {}, uuid7()).line) == (
        "unknown-device",
        0,
    )


def test_a_refused_line_does_not_hold_up_the_others(workshop):
    phone = workshop.enrol("mechanic")
    good = phone.write("job.taken", {}, uuid7())
    receipt = workshop.store.ledger.append(
        ["rubbish", good.line], ["{}"], received=NOON, offset_ms=None
    )
    assert list(receipt.indices) == [good.id]
    assert [(one.get("line"), one.get("blob")) for one in receipt.refused] == [(None, 0), (0, None)]


def standing_of(workshop: Workshop, entry_id: str) -> str:
    return workshop.store.database.row("select standing from entries where id = ?", [entry_id])[
        "standing"
    ]


def test_a_gap_shows_and_heals_when_what_was_missing_arrives(workshop):
    phone, job = workshop.enrol("mechanic"), uuid7()
    first, second = phone.write("job.taken", {}, job), phone.write("job.taken", {}, job)
    workshop.push(second)
    assert standing_of(workshop, second.id) == "gap"
    since = workshop.store.ledger.size()
    workshop.push(first)
    assert standing_of(workshop, second.id) == "good"
    page = workshop.store.pages.page(since, limit=10)
    assert page.standings == {second.id: "good"}  # those who asked before hear of it


def test_two_entries_of_one_seq_are_both_forked_until_they_are_accepted(workshop):
    phone, owner, job = workshop.enrol("mechanic"), workshop.enrol("owner"), uuid7()
    one = phone.write("job.taken", {}, job)
    phone.seq -= 1
    other = phone.write("step.begun", {"step": "set_tension"}, job)
    workshop.push(one)
    assert standing_of(workshop, one.id) == "good"
    workshop.push(other)
    assert {standing_of(workshop, x.id) for x in (one, other)} == {"forked"}
    accepted = {"entries": [one.id, other.id], "because": "a restored phone, both looked at"}
    workshop.push(owner.write("work.accepted", accepted))
    assert {standing_of(workshop, x.id) for x in (one, other)} == {"good"}


def test_what_a_revoked_device_sends_is_taken_and_doubted(workshop):
    phone, owner, job = workshop.enrol("mechanic"), workshop.enrol("owner"), uuid7()
    before, after = phone.write("job.taken", {}, job), phone.write("job.taken", {}, job)
    workshop.push(before)
    workshop.push(owner.write("device.revoked", {"device": phone.id, "because": "lost"}))
    receipt = workshop.push(after)
    assert receipt.indices[after.id] == 7
    assert standing_of(workshop, before.id) == "good"
    assert standing_of(workshop, after.id) == "doubted"
    assert workshop.store.views.device(phone.id).is_revoked


def test_an_owner_word_from_a_mechanics_phone_has_no_effect(workshop):
    phone = workshop.enrol("mechanic")
    said = phone.write("lot.recalled", {"lot": "L1", "because": "mine"})
    workshop.push(said)
    assert standing_of(workshop, said.id) == "doubted"
    assert workshop.store.database.rows("select * from recalled_lots") == []


def test_an_invitation_lets_one_device_in_and_only_in_time(workshop):
    invitation, secret, person = workshop.invite("mechanic")
    one = Phone(workshop.store.ledger.workshop, person, "mechanic")
    line = workshop.enrolment(one, invitation, secret).line
    first = let_in(workshop.store, line, NOON).enrolment
    assert let_in(workshop.store, line, NOON).enrolment == first  # the answer was lost
    other = Phone(workshop.store.ledger.workshop, person, "mechanic")
    with pytest.raises(EnrolmentRefused, match="before"):
        let_in(workshop.store, workshop.enrolment(other, invitation, secret).line, NOON)

    late, secret, person = workshop.invite("mechanic", hours=0)
    phone = Phone(workshop.store.ledger.workshop, person, "mechanic")
    with pytest.raises(EnrolmentRefused, match="over"):
        let_in(workshop.store, workshop.enrolment(phone, late, secret).line, NOON)


def test_made_up_enrolments_cost_no_copy_of_the_roster(workshop, monkeypatch):
    """Anybody may send thousands in one batch, and all others wait for the transaction."""
    real, secret, person = workshop.invite("mechanic")
    phones = [Phone(workshop.store.ledger.workshop, person, "mechanic") for _ in range(2)]
    unknown = workshop.enrolment(phones[0], "0" * 64, secret)
    forged = workshop.enrolment(phones[0], real, SigningKey.generate())
    monkeypatch.setattr(Roster, "__deepcopy__", lambda *_: pytest.fail("copied"), raising=False)
    refused = workshop.push(unknown, forged).refused
    assert [one["code"] for one in refused] == ["unknown-device"] * 2
    assert workshop.push(workshop.enrolment(phones[1], real, secret)).refused == []
    assert workshop.store.ledger.roster().device(phones[1].id) is not None


def test_enrolling_in_another_workshop_is_refused(workshop, tmp_path):
    invitation, secret, person = workshop.invite("mechanic")
    phone = Phone(workshop.store.ledger.workshop, person, "mechanic")
    elsewhere = Workshop(tmp_path / "elsewhere")
    with pytest.raises(LineRefused) as refused:
        let_in(elsewhere.store, workshop.enrolment(phone, invitation, secret).line, NOON)
    assert refused.value.code == "foreign-workshop"


def test_pages_follow_one_another_without_a_hole(workshop):
    phone, job = workshop.enrol("mechanic"), uuid7()
    workshop.push(*(phone.write("job.taken", {}, job) for _ in range(25)))
    seen, since, more = [], 0, True
    while more:
        page = workshop.store.pages.page(since, limit=10)
        seen += [index for index, _ in page.records]
        since, more = page.next, page.more
    assert seen == list(range(28))
    assert workshop.store.pages.page(since, limit=10).records == []


def test_another_process_sees_what_was_written_and_goes_on(workshop):
    phone = workshop.enrol("mechanic")
    other = Store(workshop.folder)
    workshop.store.ledger.append(
        [phone.write("job.taken", {}, uuid7()).line], [], received=NOON, offset_ms=0
    )
    later = phone.write("job.taken", {}, uuid7())
    assert other.ledger.append([later.line], [], received=NOON, offset_ms=0).indices[later.id] == 4
    assert other.ledger.checkpoint() == workshop.store.ledger.checkpoint()


def test_a_private_value_may_come_before_or_after_its_entry(workshop):
    phone = workshop.enrol("mechanic")
    for first in ("blob", "entry"):
        vin, plate, job = private_value("vin", f"TT {first}"), private_value("plate", "W"), uuid7()
        said = phone.write("job.opened", opening(vin, plate), job)
        for step in ((vin, None), (None, said)) if first == "blob" else ((None, said), (vin, None)):
            blob, one = step
            workshop.push(*([one] if one else []), blobs=(blob,) if blob else ())
        (found,) = workshop.store.views.find("vin", f"tt-{first}")
        assert found["vin"] == f"TT {first}"
