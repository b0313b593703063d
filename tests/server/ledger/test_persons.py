"""
Whom a device speaks for. The scene is also tests/vectors/persons.json, which the phone's twin
reads; it is written anew by `python -m pytest` with WRITE_VECTORS=1 in the environment.
"""

import json
import os
from pathlib import Path

import pytest

from ledger_entries import ANNA, BERT, WORKSHOP, enrolled, invited, key, keyed, sign
from twoturns.ledger.entry import parse
from twoturns.ledger.roster import Roster
from twoturns.ledger.standing import standings

VECTORS = Path(__file__).parents[2] / "vectors" / "persons.json"
OLGA = "019abcde-0000-7000-8000-000000000003"
CARL = "019abcde-0000-7000-8000-000000000004"
OWNER, PHONE, CONSOLE = key(13), key(11), key(1)


def scene():
    """Entries in the order of the ledger; with each whether it was right to write it."""
    owners, phones, raised = (
        invited(key(12), "owner", body_person=OLGA),
        invited(key(10), "mechanic", seq=3),
        invited(key(15), "owner", body_person=BERT, seq=8),
    )
    by_console = {"person": "console"}

    def note(person, seq):
        return sign(PHONE, "note.added", {"text": {"blob": "ab" * 32}}, person=person, seq=seq)

    def serves(persons, seq, by=CONSOLE, **members):
        body = {"device": PHONE.thumbprint, "persons": persons}
        return sign(by, "device.serves", body, seq=seq, **(members or by_console))

    revoked = {"device": PHONE.thumbprint, "because": "lost"}
    return [
        (keyed(), True),
        (owners, True),
        (enrolled(OWNER, key(12), owners.id, person=OLGA), True),
        (phones, True),
        (enrolled(PHONE, key(10), phones.id), True),
        (note(BERT, 2), True),  # the rules of the second edition have not begun
        (sign(CONSOLE, "rules.began", {"edition": 2}, seq=4, **by_console), True),
        (note(BERT, 3), False),
        (note(ANNA, 4), True),
        (serves([BERT, OLGA], 2, by=OWNER, person=OLGA), True),
        (note(BERT, 5), True),
        (note(OLGA, 6), False),  # an owner, on a mechanic's device
        (raised, True),
        (note(BERT, 7), False),  # an owner from now on
        (serves([CARL], 9), True),  # nobody invited ever
        (note(CARL, 8), True),
        (note(ANNA, 9), True),
        (serves([], 10), True),
        (note(CARL, 10), False),
        (sign(OWNER, "device.revoked", revoked, person=ANNA, seq=3), False),
        (note(ANNA, 11), True),
    ]


def roster_of(entries):
    roster = Roster(WORKSHOP)
    for index, one in enumerate(entries):
        roster.apply(index, one)
    return roster


def test_a_device_speaks_for_those_an_owner_admitted_on_it_from_the_second_edition_on():
    entries, rights = zip(*scene(), strict=True)
    roster = roster_of(entries)
    assert [roster.has_right(one, index) for index, one in enumerate(entries)] == list(rights)
    found = standings(enumerate(entries), roster)
    assert [found[one.id] != "doubted" for one in entries] == list(rights)


def test_who_is_no_owner_admits_nobody():
    entries = [one for one, _ in scene()][:9]
    body = {"device": PHONE.thumbprint, "persons": [BERT]}
    roster = roster_of([*entries, sign(PHONE, "device.serves", body, seq=5)])
    assert roster.admitted_on(roster.device(PHONE.thumbprint), 99) == []


def test_the_phone_is_given_the_same_scene():
    entries, rights = zip(*scene(), strict=True)
    roster = roster_of(entries)
    phone = roster.device(PHONE.thumbprint)
    said = {
        "workshop": WORKSHOP,
        "phone": PHONE.thumbprint,
        "entries": [
            {
                "line": one.line,
                "right": right,
                "persons": [ANNA, *roster.admitted_on(phone, index)],
            }
            for index, (one, right) in enumerate(zip(entries, rights, strict=True))
        ],
    }
    if os.environ.get("WRITE_VECTORS"):
        VECTORS.write_text(json.dumps(said, indent=1) + "\n")
    assert json.loads(VECTORS.read_text()) == said
    assert [parse(one["line"]) for one in said["entries"]] == list(entries)


@pytest.mark.parametrize("person", [OLGA, CARL])
def test_no_other_person_comes_in_by_an_acceptance_of_the_device_itself(person):
    entries = [one for one, _ in scene()][:9]
    words = {"text": {"blob": "ab" * 32}}
    late = sign(PHONE, "note.added", words, person=person, seq=5)
    accepts = sign(PHONE, "work.accepted", {"entries": [late.id], "because": "me"}, seq=6)
    all_of_them = [*entries, late, accepts]
    found = standings(enumerate(all_of_them), roster_of(all_of_them))
    assert found[late.id] == "doubted"
