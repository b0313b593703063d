"""
Whose the workshop key is: handed over by the key before, taken back by the recovery key on paper.

Each door is tried with the wrong key, replayed and raced; the phone's fold must come to the same.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger_entries import ANNA, CONSOLE, enrolled, invited, key, sign
from ledger_keys import committed, first, handed_over, recovered
from twoturns.ledger.roster import Commitment, Recovery, Roster
from twoturns.ledger.standing import standings

PAPER, NEXT_PAPER, THIRD_PAPER = key(30), key(31), key(32)
SECOND, THIEF, OWN = key(2), key(40), key(41)
OWNERS_INVITATION, OWNER, INVITATION, PHONE = key(12), key(13), key(10), key(11)


def roster_of(*statements):
    roster = Roster(CONSOLE.thumbprint)
    for index, statement in enumerate(statements):
        roster.apply(index, statement)
    return roster


def owner_in(start):
    asked = invited(OWNERS_INVITATION, "owner")
    return [start, asked, enrolled(OWNER, OWNERS_INVITATION, asked.id)]


def facts(roster):
    """What the phone's roster is asked for, too."""
    return {
        "keys": roster.workshop_keys(),
        "commitments": [one.recovery for one in roster.commitments],
        "recoveries": [[one.index, one.size] for one in roster.recoveries],
        "rights": {
            one.thumbprint: [n for n in range(24) if one.was_in(n)]
            for one in roster.devices()
            if not one.is_void
        },
    }


def both(peer, statements):
    """The facts of a ledger, after both languages came to the same."""
    here = facts(roster_of(*statements))
    there = peer.call("rosterFacts", CONSOLE.thumbprint, [one.line for one in statements], 24)
    assert there == here
    return here


# Handing over


def test_an_owners_device_does_not_hand_the_workshop_over(peer):
    statements = [*owner_in(first()), handed_over(THIEF, by=OWNER)]
    assert both(peer, statements)["keys"] == [CONSOLE.key]


def test_what_an_owner_handed_over_before_the_second_edition_counts_as_it_did(peer):
    start = owner_in(first(edition=None))
    began = sign(SECOND, "rules.began", {"edition": 2}, person="console", seq=2)
    late = handed_over(THIEF, by=OWNER)
    statements = [*start, handed_over(SECOND, by=OWNER), began, late]
    assert both(peer, statements)["keys"] == [CONSOLE.key, SECOND.key]


def test_the_key_before_hands_over_and_is_nothing_then(peer):
    again = handed_over(THIEF, by=CONSOLE)
    replayed = handed_over(SECOND, by=CONSOLE)
    statements = [first(PAPER), replayed, again, replayed]
    assert both(peer, statements)["keys"] == [CONSOLE.key, SECOND.key]


def test_of_two_successions_that_race_the_first_in_the_ledger_wins(peer):
    one, other = handed_over(SECOND, by=CONSOLE), handed_over(THIEF, by=CONSOLE)
    assert both(peer, [first(PAPER), one, other])["keys"][-1] == SECOND.key
    assert both(peer, [first(PAPER), other, one])["keys"][-1] == THIEF.key


def test_handing_over_does_not_touch_the_recovery_key(peer):
    sly = handed_over(THIEF, by=CONSOLE, recovery=OWN.thumbprint)
    assert both(peer, [first(PAPER), sly])["commitments"] == [PAPER.thumbprint]


# Committing to a recovery key


def test_an_older_workshop_commits_once_by_its_console(peer):
    statements = [*owner_in(first()), committed(PAPER), committed(OWN, seq=10)]
    assert both(peer, statements)["commitments"] == [PAPER.thumbprint]


def test_nobody_but_the_console_commits(peer):
    by_owner = committed(OWN, by=OWNER, person=ANNA, seq=2)
    by_stranger = committed(OWN, by=key(77), seq=1)
    assert both(peer, [*owner_in(first()), by_owner, by_stranger])["commitments"] == []


def test_a_thief_of_the_workshop_key_cannot_take_over_the_recovery_key(peer):
    statements = [
        first(PAPER),
        committed(OWN),  # with nothing
        committed(OWN, before=OWN, seq=10),  # with his own paper
        committed(OWN, before=CONSOLE, seq=11),  # with the key that he has
        handed_over(THIEF, by=CONSOLE),
        committed(OWN, by=THIEF, seq=2),  # and with the next
        recovered(OWN, by=OWN, size=2, then=key(50)),
    ]
    come = both(peer, statements)
    assert come["commitments"] == [PAPER.thumbprint]
    assert come["keys"] == [CONSOLE.key, THIEF.key]
    back = recovered(SECOND, by=PAPER, size=1, then=NEXT_PAPER)
    assert both(peer, [*statements, back])["keys"] == [CONSOLE.key, SECOND.key]


def test_who_has_key_and_paper_commits_to_a_new_paper_and_the_old_one_is_worth_nothing(peer):
    changed = committed(NEXT_PAPER, before=PAPER)
    by_old = recovered(OWN, by=PAPER, size=2, then=key(50))
    by_new = recovered(SECOND, by=NEXT_PAPER, size=2, then=THIRD_PAPER)
    come = both(peer, [first(PAPER), changed, by_old])
    assert come["keys"] == [CONSOLE.key]
    assert come["commitments"] == [PAPER.thumbprint, NEXT_PAPER.thumbprint]
    assert both(peer, [first(PAPER), changed, by_new])["keys"] == [CONSOLE.key, SECOND.key]


# Recovering


def test_a_recovery_undoes_what_the_stolen_key_stated_from_there_on(peer):
    asked_before = invited(INVITATION, seq=4)
    asked_by_thief = invited(key(60), "owner", seq=5)
    asked_later = invited(key(62), "owner", by=THIEF, seq=2)
    gone = sign(
        CONSOLE,
        "device.revoked",
        {"device": OWNER.thumbprint, "because": "x"},
        person="console",
        seq=6,
    )
    asked_by_owner = invited(key(64), by=OWNER, person=ANNA, seq=2)
    statements = [
        *owner_in(first(PAPER)),  # 0 to 2
        asked_before,  # 3: trusted up to here
        enrolled(PHONE, INVITATION, asked_before.id),  # 4: on an invitation that counts
        asked_by_thief,
        enrolled(key(61), key(60), asked_by_thief.id),  # 6
        gone,
        handed_over(THIEF, by=CONSOLE),  # 8
        asked_later,
        enrolled(key(63), key(62), asked_later.id),  # 10
        asked_by_owner,  # 11: an owner that the thief had revoked
        enrolled(key(65), key(64), asked_by_owner.id),
    ]
    before = roster_of(*statements)
    assert before.workshop_key == THIEF.key
    assert before.device(OWNER.thumbprint).revoked_at == 7
    back = recovered(SECOND, by=PAPER, size=4, then=NEXT_PAPER)
    statements.append(back)
    after = roster_of(*statements)
    come = both(peer, statements)
    assert come["keys"] == [CONSOLE.key, SECOND.key]
    assert come["recoveries"] == [[13, 4]]
    assert after.recoveries == [Recovery(13, 4, "ab" * 32)]
    assert after.commitments[-1] == Commitment(NEXT_PAPER.thumbprint, 13)
    in_now = {one.thumbprint for one in after.devices() if one.was_in(14)}
    ours = (SECOND, OWNER, PHONE, key(65))
    assert in_now == {one.thumbprint for one in ours}
    assert (after.device(CONSOLE.thumbprint).revoked_at) == 3
    for thiefs in (THIEF, key(61), key(63)):
        assert after.device(thiefs.thumbprint).is_void
        assert after.key_of(sign(thiefs, "job.taken")) == thiefs.key
    said = standings(enumerate(statements), after)
    assert [said[one.id] for one in statements[5:11]] == ["doubted"] * 6


def test_a_recovery_beats_a_key_that_was_handed_on_and_on(peer):
    statements = [first(PAPER), handed_over(THIEF, by=CONSOLE), handed_over(OWN, by=THIEF)]
    back = recovered(SECOND, by=PAPER, size=1, then=NEXT_PAPER)
    once_more = handed_over(key(51), by=OWN)
    replayed = recovered(SECOND, by=PAPER, size=1, then=NEXT_PAPER)
    came = both(peer, [*statements, back, once_more, replayed])
    assert came["keys"] == [CONSOLE.key, SECOND.key]


def test_successions_that_are_trusted_stay(peer):
    statements = [
        first(PAPER),
        handed_over(SECOND, by=CONSOLE),
        recovered(OWN, by=PAPER, size=2, then=NEXT_PAPER),
    ]
    come = both(peer, statements)
    assert come["keys"] == [CONSOLE.key, SECOND.key, OWN.key]
    assert come["rights"][SECOND.thumbprint] == [1]


def test_each_recovery_takes_the_paper_of_the_one_before(peer):
    one = recovered(SECOND, by=PAPER, size=1, then=NEXT_PAPER)
    old_paper = recovered(OWN, by=PAPER, size=2, then=key(50))
    two = recovered(key(3), by=NEXT_PAPER, size=2, then=THIRD_PAPER)
    come = both(peer, [first(PAPER), one, old_paper, two])
    assert come["keys"] == [CONSOLE.key, SECOND.key, key(3).key]
    assert come["recoveries"] == [[1, 1], [3, 2]]


@pytest.mark.parametrize(
    "wrong",
    [
        recovered(SECOND, by=OWN, size=1, then=NEXT_PAPER),  # another paper
        recovered(SECOND, by=PAPER, size=1, then=PAPER),  # the same paper again
        recovered(SECOND, by=PAPER, size=1, then=NEXT_PAPER, workshop=SECOND.thumbprint),
        recovered(SECOND, by=PAPER, size=1, then=NEXT_PAPER, recovery=OWN.thumbprint),
        recovered(CONSOLE, by=PAPER, size=1, then=NEXT_PAPER),  # the stolen key
        recovered(OWNER, by=PAPER, size=1, then=NEXT_PAPER),  # the key of a device
    ],
    ids=["paper", "same-paper", "workshop", "other-commitment", "old-key", "device"],
)
def test_a_recovery_that_is_not_one(peer, wrong):
    assert both(peer, [*owner_in(first(PAPER)), wrong])["keys"] == [CONSOLE.key]


def test_a_recovery_does_not_reach_behind_the_paper_that_it_stands_on(peer):
    statements = [*owner_in(first()), committed(PAPER)]  # 3
    behind = recovered(SECOND, by=PAPER, size=3, then=NEXT_PAPER)
    assert both(peer, [*statements, behind])["keys"] == [CONSOLE.key]
    at_it = recovered(SECOND, by=PAPER, size=4, then=NEXT_PAPER)
    assert both(peer, [*statements, at_it])["keys"] == [CONSOLE.key, SECOND.key]


def test_a_recovery_that_was_put_back_names_more_than_there_is(peer):
    """A backup from before the recovery, and the key file of after it: nothing is undone."""
    back = recovered(SECOND, by=PAPER, size=900, then=NEXT_PAPER)
    statements = [*owner_in(first(PAPER)), back]
    come = both(peer, statements)
    assert come["keys"] == [CONSOLE.key, SECOND.key]
    assert come["rights"][CONSOLE.thumbprint] == [0, 1, 2, 3]
    late = invited(INVITATION, seq=7)
    assert roster_of(*statements, late).invitation(late.id) is None


def test_a_recovery_without_a_commitment_or_with_none_for_the_next_time(peer):
    back = recovered(SECOND, by=PAPER, size=1, then=NEXT_PAPER)
    assert both(peer, [first(), back])["keys"] == [CONSOLE.key]
    body = {name: value for name, value in back.body.items() if name != "recovery"}
    without = sign(SECOND, "workshop.keyed", body, person="console")
    assert both(peer, [first(PAPER), without])["keys"] == [CONSOLE.key]


def test_a_fold_that_knows_the_end_may_be_led_through_the_ledger_again():
    asked = invited(key(60), "owner", seq=5)
    gone_early = sign(
        OWNER, "device.revoked", {"device": key(61).thumbprint, "because": "x"}, seq=2
    )
    statements = [
        *owner_in(first(PAPER)),
        asked,
        gone_early,
        enrolled(key(61), key(60), asked.id),
        recovered(SECOND, by=PAPER, size=4, then=NEXT_PAPER),
    ]
    roster = roster_of(*statements)
    once = (facts(roster), roster.devices())
    for index, statement in enumerate(statements):
        roster.apply(index, statement)
    assert (facts(roster), roster.devices()) == once


def test_an_invitation_of_the_thief_lets_nobody_in_after_the_recovery_either(peer):
    asked = invited(key(60), "owner", seq=5)
    statements = [
        *owner_in(first(PAPER)),
        asked,
        recovered(SECOND, by=PAPER, size=3, then=NEXT_PAPER),
        enrolled(key(61), key(60), asked.id),
    ]
    assert both(peer, statements)["keys"] == [CONSOLE.key, SECOND.key]
    assert roster_of(*statements).device(key(61).thumbprint) is None


def the_cast():
    """Statements of everybody who might try something, in any order."""
    asked = [
        invited(OWNERS_INVITATION, "owner"),
        invited(INVITATION, by=OWNER, person=ANNA, seq=2),
        invited(key(60), "owner", by=THIEF, seq=2),
    ]
    gone = {"device": OWNER.thumbprint, "because": "x"}
    return [
        *asked,
        enrolled(OWNER, OWNERS_INVITATION, asked[0].id),
        enrolled(PHONE, INVITATION, asked[1].id),
        enrolled(key(61), key(60), asked[2].id),
        *(sign(by, "device.revoked", gone, person="console") for by in (CONSOLE, THIEF)),
        *(sign(by, "rules.began", {"edition": 2}, person="console") for by in (CONSOLE, SECOND)),
        *(handed_over(new, by=by) for new in (SECOND, THIEF) for by in (CONSOLE, OWNER, SECOND)),
        *(committed(NEXT_PAPER, by=by) for by in (CONSOLE, THIEF)),
        *(committed(OWN, by=by, before=PAPER) for by in (CONSOLE, THIEF)),
        *(
            recovered(new, by=by, size=size, then=then)
            for new, by, then in (
                (SECOND, PAPER, NEXT_PAPER),
                (OWN, NEXT_PAPER, THIRD_PAPER),
                (THIEF, OWN, THIRD_PAPER),
            )
            for size in (1, 3, 6, 12)
        ),
    ]


CAST = the_cast()


@given(
    st.sampled_from([first(PAPER), first(), first(edition=None)]),
    st.lists(st.sampled_from(CAST), max_size=16),
)
def test_both_come_to_the_same_whoever_tries_what_in_whatever_order(peer, start, statements):
    both(peer, [start, *statements])
