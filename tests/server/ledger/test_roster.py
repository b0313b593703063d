"""Who may write what: invitations, enrolments, revocation and the succession of workshop keys."""

import pytest

from invitations import invitation_in
from ledger_entries import (
    ANNA,
    AT,
    BERT,
    CONSOLE,
    UNTIL,
    WORKSHOP,
    enrolled,
    invited,
    key,
    keyed,
    newer,
    sign,
)
from twoturns.ledger import base64url, keys, roster
from twoturns.ledger.errors import EnrolmentRefused
from twoturns.ledger.roster import Invitation, Roster, invitation_text

INVITATION, PHONE, OWNERS_INVITATION, OWNER = key(10), key(11), key(12), key(13)


def roster_of(*statements):
    made = Roster(WORKSHOP)
    for index, statement in enumerate(statements):
        made.apply(index, statement)
    return made


def owner_in():
    """The statements that make the console and an owner."""
    asked = invited(OWNERS_INVITATION, "owner")
    return [keyed(), asked, enrolled(OWNER, OWNERS_INVITATION, asked.id)]


def handed_over(new, *, by, workshop=WORKSHOP, name="Riverside Belts"):
    message = keys.succession_message(key=new.key, workshop=workshop)
    signed_by = {"key": by.key, "signature": base64url.encode(by.sign(message))}
    body = {"key": new.key, "name": name, "signed_by": signed_by}
    return sign(new, "workshop.keyed", body, person="console")


def test_a_device_comes_in_on_an_invitation():
    asked = invited(INVITATION)
    comes = enrolled(PHONE, INVITATION, asked.id)
    roster = roster_of(keyed(), asked)
    assert roster.check_enrolment(comes, AT).person == ANNA
    assert roster.key_of(comes) == PHONE.key
    roster.apply(2, comes)
    device = roster.device(PHONE.thumbprint)
    assert (device.key, device.role, device.person) == (PHONE.key, "mechanic", ANNA)
    assert (device.enrolled_at, device.revoked_at) == (2, None)
    assert device.thumbprint == PHONE.thumbprint
    assert [d.role for d in roster.devices()] == ["console", "mechanic"]


def test_an_invitation_is_over_at_its_time_and_not_before():
    asked = invited(INVITATION)
    comes = enrolled(PHONE, INVITATION, asked.id)
    roster = roster_of(keyed(), asked)
    assert roster.check_enrolment(comes, UNTIL.replace("25T00:00:00.000", "24T23:59:59.999"))
    with pytest.raises(EnrolmentRefused, match="over at 2026-11-25 00:00:00 UTC"):
        roster.check_enrolment(comes, UNTIL)


def refused(roster, enrolment, fact):
    """The enrolment is refused at the door, and lets nobody in if the ledger has it."""
    with pytest.raises(EnrolmentRefused, match=fact) as caught:
        roster.check_enrolment(enrolment, AT)
    assert caught.value.hint
    before = roster.devices()
    roster.apply(9, enrolment)
    assert roster.devices() == before


def test_the_first_device_in_the_ledger_wins():
    asked = invited(INVITATION)
    first, second = (enrolled(k, INVITATION, asked.id) for k in (PHONE, key(99)))
    refused(roster_of(keyed(), asked, first), second, "came in on this invitation before")
    refused(roster_of(keyed(), asked, second), first, "came in on this invitation before")


def test_an_invitation_that_is_not_there_or_not_by_one_who_may_invite():
    asked = invited(INVITATION)
    comes = enrolled(PHONE, INVITATION, asked.id)
    refused(roster_of(keyed()), comes, "no invitation of this id counts")
    by_a_stranger = invited(INVITATION, by=key(77))
    comes = enrolled(PHONE, INVITATION, by_a_stranger.id)
    refused(roster_of(keyed(), by_a_stranger), comes, "no invitation of this id counts")


def test_a_mechanic_cannot_invite_and_an_owner_can():
    asked = invited(INVITATION)
    comes = enrolled(PHONE, INVITATION, asked.id)
    by_mechanic = invited(key(20), "owner", by=PHONE, person=ANNA)
    roster = roster_of(keyed(), asked, comes, by_mechanic)
    assert roster.invitation(by_mechanic.id) is None
    by_owner = invited(key(20), "owner", by=OWNER, person=ANNA)
    assert roster_of(*owner_in(), by_owner).invitation(by_owner.id).role == "owner"


def test_an_owner_cannot_say_to_be_the_console():
    asked = invited(key(20), by=OWNER, person="console")
    assert roster_of(*owner_in(), asked).invitation(asked.id) is None


def test_wrong_countersign_person_workshop_and_second_enrolment_are_told_apart():
    asked = invited(INVITATION)
    roster = roster_of(keyed(), asked)
    refused(roster, enrolled(PHONE, key(50), asked.id), "the invitation's key did not sign")
    refused(roster, enrolled(PHONE, INVITATION, asked.id, person=BERT), "for another person")
    elsewhere = enrolled(PHONE, INVITATION, asked.id, workshop=key(2).thumbprint)
    refused(roster, elsewhere, "names another workshop")
    again = invited(key(14))
    roster = roster_of(keyed(), asked, enrolled(PHONE, INVITATION, asked.id), again)
    refused(roster, enrolled(PHONE, key(14), again.id), "the device is enrolled already")


def test_a_device_cannot_enrol_the_key_of_another():
    asked = invited(INVITATION)
    message = keys.enrolment_message(
        device=PHONE.thumbprint, invitation=asked.id, workshop=WORKSHOP
    )
    body = {
        "key": key(60).key,
        "invitation": asked.id,
        "countersign": base64url.encode(INVITATION.sign(message)),
    }
    comes = sign(PHONE, "device.enrolled", body)
    refused(roster_of(keyed(), asked), comes, "the device's key did not sign")


def test_what_came_after_the_revocation_has_no_right_and_what_came_before_has():
    asked = invited(INVITATION)
    gone = sign(OWNER, "device.revoked", {"device": PHONE.thumbprint, "because": "lost"})
    roster = roster_of(*owner_in(), asked, enrolled(PHONE, INVITATION, asked.id), gone)
    device = roster.device(PHONE.thumbprint)
    assert device.revoked_at == 5
    assert device.was_in(4)
    assert not device.was_in(6)
    assert not device.was_in(3)


def test_a_revoked_owner_cannot_invite_revoke_or_hand_over():
    gone = sign(
        CONSOLE,
        "device.revoked",
        {"device": OWNER.thumbprint, "because": "left"},
        person="console",
    )
    late = invited(INVITATION, by=OWNER, person=ANNA)
    roster = roster_of(*owner_in(), gone, late, handed_over(key(2), by=OWNER))
    assert roster.invitation(late.id) is None
    assert roster.workshop_key == CONSOLE.key


def test_a_mechanic_cannot_revoke_and_nobody_revokes_the_workshop():
    asked = invited(INVITATION)
    by_mechanic = sign(PHONE, "device.revoked", {"device": OWNER.thumbprint, "because": "x"})
    by_owner = sign(OWNER, "device.revoked", {"device": WORKSHOP, "because": "x"})
    roster = roster_of(
        *owner_in(), asked, enrolled(PHONE, INVITATION, asked.id), by_mechanic, by_owner
    )
    assert roster.device(OWNER.thumbprint).revoked_at is None
    assert roster.device(WORKSHOP).revoked_at is None


def test_the_first_workshop_key_is_the_one_the_fingerprint_names():
    other = sign(key(2), "workshop.keyed", {"key": key(2).key, "name": "x"}, person="console")
    roster = roster_of(other, keyed())
    assert roster.workshop_key == CONSOLE.key
    assert roster.device(key(2).thumbprint) is None


@pytest.mark.parametrize("by", [CONSOLE, OWNER])
def test_the_key_before_or_an_owner_hands_over(by):
    roster = roster_of(*owner_in(), handed_over(key(2), by=by))
    assert roster.workshop_key == key(2).key
    assert roster.device(CONSOLE.thumbprint).revoked_at == 3
    assert roster.device(key(2).thumbprint).role == "console"
    # A key that was succeeded cannot take the workshop back.
    roster.apply(4, handed_over(key(5), by=CONSOLE))
    assert roster.workshop_key == key(2).key


def test_a_mechanic_or_a_stranger_does_not_hand_over():
    asked = invited(INVITATION)
    statements = [keyed(), asked, enrolled(PHONE, INVITATION, asked.id)]
    unsigned = sign(key(2), "workshop.keyed", {"key": key(2).key, "name": "x"}, person="console")
    for statement in (
        handed_over(key(2), by=PHONE),
        handed_over(key(2), by=key(88)),
        handed_over(key(2), by=CONSOLE, workshop=key(3).thumbprint),
        unsigned,
    ):
        assert roster_of(*statements, statement).workshop_key == CONSOLE.key


def test_a_key_is_not_handed_over_to_without_its_own_signature():
    body = dict(handed_over(key(2), by=CONSOLE).body)
    stolen = sign(key(88), "workshop.keyed", body, person="console")
    assert roster_of(keyed(), stolen).workshop_key == CONSOLE.key


def test_roles():
    asked = invited(INVITATION, "auditor")
    roster = roster_of(*owner_in(), asked, enrolled(PHONE, INVITATION, asked.id))
    table = [
        (WORKSHOP, "backup.made", True),
        (WORKSHOP, "step.done", False),
        (OWNER.thumbprint, "backup.outside", True),
        (OWNER.thumbprint, "backup.made", False),
        (OWNER.thumbprint, "blob.kept", False),
        (OWNER.thumbprint, "workshop.keyed", False),
        (OWNER.thumbprint, "review.gap", True),
        (PHONE.thumbprint, "note.added", True),
        (PHONE.thumbprint, "step.done", False),
        (key(70).thumbprint, "note.added", False),
    ]
    for device, kind, may in table:
        assert roster.may_write(device, kind) is may, (device, kind)


def test_statements_of_another_workshop_change_nothing():
    foreign = sign(
        CONSOLE,
        "device.invited",
        {"key": key(5).key, "role": "owner", "person": ANNA, "until": UNTIL},
        person="console",
        workshop=key(2).thumbprint,
    )
    assert roster_of(keyed(), foreign).invitation(foreign.id) is None


def test_an_invitation_travels_in_a_link():
    carried = Invitation(WORKSHOP, CONSOLE.key, "ab" * 32, "owner", ANNA, INVITATION.seed)
    text = invitation_text(carried)
    assert invitation_in(text) == carried


def began(by, edition=2, **members):
    return sign(by, "rules.began", {"edition": edition}, **{"person": "console"} | members)


def test_the_rules_of_an_edition_begin_with_the_workshop_or_at_their_place_and_never_before():
    assert [roster_of(keyed()).edition_at(index) for index in (0, 5)] == [1, 1]
    assert [roster_of(keyed(edition=2)).edition_at(index) for index in (0, 5)] == [2, 2]
    older = roster_of(keyed(), invited(INVITATION), began(CONSOLE, seq=3))
    assert [older.edition_at(index) for index in (0, 1, 2, 3)] == [1, 1, 2, 2]


def test_rules_do_not_go_back_and_only_the_console_begins_them():
    again = roster_of(keyed(edition=3), began(CONSOLE, 2, seq=2))
    assert again.edition_at(9) == 3
    by_owner = roster_of(*owner_in(), began(OWNER, person=ANNA, seq=2))
    assert by_owner.edition_at(9) == 1


def test_what_only_a_newer_program_can_read_changes_no_roster():
    asked = invited(INVITATION)
    more = {"key": PHONE.key, "invitation": asked.id, "countersign": "A" * 86, "colour": "red"}
    roster = roster_of(keyed(), asked, newer(PHONE, "device.enrolled", more))
    assert roster.device(PHONE.thumbprint) is None
    lost = newer(CONSOLE, "device.revoked", {"device": OWNER.thumbprint, "because": "x", "at": 1})
    assert roster_of(*owner_in(), lost).device(OWNER.thumbprint).revoked_at is None


def test_rights_that_are_remembered_are_those_that_are_worked_out(monkeypatch):
    """Against the same question with nothing remembered, after each statement and asked twice."""
    monkeypatch.setattr(roster, "MOST_REMEMBERED", 3)
    asked = invited(INVITATION, "mechanic")
    statements = [*owner_in(), asked, enrolled(PHONE, INVITATION, asked.id)]
    gone = sign(OWNER, "device.revoked", {"device": PHONE.thumbprint, "because": "lost"})
    statements += [gone, handed_over(key(14), by=CONSOLE)]
    remembers = Roster(WORKSHOP)
    for index, statement in enumerate(statements):
        remembers.apply(index, statement)
        for at in (index, index + 1, index + 7, index + 1):
            for one in statements:
                found = remembers.has_right(one, at)
                assert found == roster_of(*statements[: index + 1])._had_right(one, at)
