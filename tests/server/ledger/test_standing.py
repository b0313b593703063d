"""Whether an entry can prove something: each mark, its end, and that order of arrival is all."""

from ledger_entries import (
    ANNA,
    CONSOLE,
    OTHER_JOB,
    WORKSHOP,
    enrolled,
    invited,
    key,
    keyed,
    sign,
)
from twoturns.ledger.roster import Roster
from twoturns.ledger.standing import standings

PHONE, OWNER, INVITATION, OWNERS = key(11), key(13), key(10), key(12)
ASKED, OWNER_ASKED = invited(INVITATION), invited(OWNERS, "owner", seq=3)
START = [
    keyed(),
    ASKED,
    OWNER_ASKED,
    enrolled(PHONE, INVITATION, ASKED.id),
    enrolled(OWNER, OWNERS, OWNER_ASKED.id),
]
GONE = sign(OWNER, "device.revoked", {"device": PHONE.thumbprint, "because": "lost"}, seq=2)


def work(seq, by=PHONE, **members):
    return sign(by, "step.begun", {"step": f"step_{seq}"}, seq=seq, **members)


def accepted(*entries, by=OWNER, seq=3, **members):
    body = {"entries": [entry.id for entry in entries], "because": "seen"}
    return sign(by, "work.accepted", body, seq=seq, **members)


def marks(*entries, is_whole=True, edition=1):
    """The standings of what stands in the ledger after the start, in order."""
    first = keyed() if edition == 1 else keyed(edition=edition)
    records = list(enumerate([first, *START[1:], *entries]))
    roster = Roster(WORKSHOP)
    for index, entry in records:
        roster.apply(index, entry)
    found = standings(records, roster, is_whole=is_whole)
    return [found[entry.id] for entry in entries]


def test_the_start_and_work_in_order_are_good():
    assert marks(work(2), work(3)) == ["good", "good"]
    records = list(enumerate(START))
    roster = Roster(WORKSHOP)
    for index, entry in records:
        roster.apply(index, entry)
    assert set(standings(records, roster).values()) == {"good"}


def test_a_seq_that_is_missing_is_a_gap_until_it_arrives():
    assert marks(work(3)) == ["gap"]
    assert marks(work(3), work(2)) == ["good", "good"]
    assert marks(work(2), work(4)) == ["good", "gap"]


def test_a_past_that_is_missing_is_a_gap_until_it_arrives():
    first = work(2)
    second = work(3, after=[first.id])
    assert marks(work(2, job=OTHER_JOB), work(3, after=["ab" * 32])) == ["good", "gap"]
    assert marks(second, first) == ["good", "good"]


def test_two_entries_of_one_seq_are_both_forked():
    assert marks(work(2), work(2, job=OTHER_JOB), work(3)) == ["forked", "forked", "good"]


def test_after_the_revocation_work_is_doubted_and_before_it_is_good():
    assert marks(work(2), GONE, work(3)) == ["good", "good", "doubted"]


def test_a_kind_outside_the_role_is_doubted():
    gap = sign(
        PHONE, "review.gap", {"step": "a", "because": {"blob": "ab" * 32}}, seq=2, job=OTHER_JOB
    )
    assert marks(gap) == ["doubted"]


def test_a_device_that_says_to_be_the_console_is_doubted_and_the_console_as_a_person_too():
    assert marks(work(2, person="console")) == ["doubted"]
    days = sign(CONSOLE, "retention.set", {"days": 3650}, seq=4, person=ANNA)
    assert marks(days) == ["doubted"]


def test_a_stranger_and_an_entry_before_its_enrolment_are_doubted():
    early = work(1, by=key(40))
    assert marks(early) == ["doubted"]
    asked = invited(key(41), seq=4)
    assert marks(early, asked, enrolled(key(40), key(41), asked.id, seq=2))[0] == "doubted"


def test_the_worst_wins():
    assert marks(GONE, work(7)) == ["good", "doubted"]
    assert marks(GONE, work(7), work(7, job=OTHER_JOB))[1:] == ["forked", "forked"]


def test_what_a_revoked_device_numbers_anew_forks_nothing_that_came_before():
    """A thief who has the phone numbers anew from 1; without an acceptance it is but doubted."""
    honest, lie, another = work(2), work(2, job=OTHER_JOB), work(2, after=["ab" * 32])
    assert marks(honest, GONE, lie, another, edition=2) == ["good", "good", "doubted", "doubted"]
    assert marks(honest, lie, GONE, another, edition=2) == ["forked", "forked", "good", "doubted"]
    said = marks(honest, GONE, lie, accepted(lie), edition=2)
    assert said == ["forked", "good", "good", "good"]
    said = marks(honest, GONE, lie, accepted(honest), edition=2)
    assert said == ["good", "good", "doubted", "good"]


def test_by_the_first_edition_it_did_and_what_stood_then_stands_as_it_did():
    honest, lie, later = work(2), work(2, job=OTHER_JOB), work(2, after=["ab" * 32])
    assert marks(honest, GONE, lie) == ["forked", "good", "forked"]
    began = sign(CONSOLE, "rules.began", {"edition": 2}, seq=4, person="console")
    assert marks(honest, GONE, lie, began, later) == [
        "forked", "good", "forked", "good", "doubted"
    ]  # fmt: skip
    assert marks(honest, GONE, began, lie) == ["good", "good", "good", "doubted"]


def test_an_owner_or_the_console_makes_good_again():
    lost = work(9)
    assert marks(lost, sign(OWNER, "retention.set", {"days": 9}, seq=2), accepted(lost)) == [
        "good",
        "good",
        "good",
    ]
    by_console = accepted(lost, by=CONSOLE, seq=4, person="console")
    assert marks(lost, by_console) == ["good", "good"]
    twins = work(2), work(2, job=OTHER_JOB)
    assert marks(*twins, accepted(twins[0], seq=2)) == ["good", "forked", "good"]


def test_a_mechanic_or_a_revoked_owner_accepts_nothing():
    lost = work(9)
    assert marks(lost, accepted(lost, by=PHONE, seq=2)) == ["gap", "doubted"]
    body = {"device": OWNER.thumbprint, "because": "left"}
    gone = sign(CONSOLE, "device.revoked", body, seq=4, person="console")
    assert marks(lost, gone, accepted(lost, seq=2)) == ["gap", "good", "doubted"]


def test_of_one_jobs_records_a_missing_seq_says_nothing():
    assert marks(work(9), is_whole=False) == ["good"]
    assert marks(work(9, after=["ab" * 32]), is_whole=False) == ["gap"]
    assert marks(work(9), work(9, job=OTHER_JOB), is_whole=False) == ["forked", "forked"]
