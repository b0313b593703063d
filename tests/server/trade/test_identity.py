"""Vehicle numbers against 49 CFR 565.15(c), against vininfo, and against the phone's twin."""

import random
import string
from dataclasses import asdict

import pytest
from vininfo import Vin

from ledger_vectors import vectors
from twoturns.trade.identity import Slip, check_character, check_vin

VECTORS = vectors("vin")
LETTERS = "ABCDEFGHJKLMNPRSTUVWXYZ0123456789"


@pytest.mark.parametrize("case", VECTORS["cases"], ids=lambda case: case["text"])
def test_the_shared_cases(case):
    found = asdict(check_vin(case["text"]))
    for field, expected in case.items():
        got = list(found["again"]) if field == "again" else found.get(field)
        if field != "text":
            assert got == expected


@pytest.mark.parametrize(
    ("vin", "character"),
    [("1G4AH59H_5G118341", "4"), ("1M8GDM9A_KP042788", "X"), ("LJCPCBLC_11000237", "X")],
)
def test_the_check_character_of_published_examples(vin, character):
    assert check_character(vin) == character


def random_vins(seed, count, first=LETTERS):
    rng = random.Random(seed)
    for _ in range(count):
        vin = [rng.choice(LETTERS) for _ in range(17)]
        vin[0] = rng.choice(first)
        if rng.random() < 0.5:
            vin[8] = check_character("".join(vin))
        yield "".join(vin)


def test_vininfo_agrees_on_random_numbers():
    """vininfo answers False for makers it knows to use no check digit: those are left out."""
    compared = 0
    for vin in random_vins(1, 3000, first="12345L"):
        other = Vin(vin)
        if getattr(other.assembler, "uses_sae_checkdigit", True):
            compared += 1
            assert check_vin(vin).accepted == other.verify_checksum(check_year=False), vin
    assert compared > 2500


def test_the_check_is_hard_only_where_the_law_asks_for_it():
    for vin in random_vins(2, 500):
        hard = vin[0] in "12345L"
        assert check_vin(vin).accepted == (not hard or vin[8] == check_character(vin))


@pytest.mark.parametrize("case", VECTORS["second_look"], ids=lambda case: case["text"])
def test_a_slip_that_the_check_cannot_find_is_named(case):
    read, right = (
        vin[:8] + check_character(vin) + vin[9:] for vin in (case["text"], case["right"])
    )
    assert check_vin(read).code == check_vin(right).code == "vin-holds"
    assert Slip(case["position"], case["read"], case["perhaps"]) in check_vin(read).again


def test_a_failed_check_names_the_slip_that_would_explain_it():
    right = "1G4AH59H45G118341"
    read = right[:13] + "B" + right[14:]  # an 8 read as B
    found = check_vin(read)
    assert found.code == "vin-check"
    assert Slip(14, "B", "8") in found.again
    assert all(
        check_vin(read[: s.position - 1] + s.perhaps + read[s.position :]).accepted
        for s in found.again
    )


def test_no_message_scolds():
    results = [check_vin(case["text"]) for case in VECTORS["cases"]]
    for words in (text for found in results for text in (found.message, found.hint)):
        assert words.endswith(".")
        assert not {"error", "you", "invalid"} & set(words.lower().strip(".").split())


def test_the_phone_says_the_same(peer):
    rng = random.Random(3)
    mixed = string.ascii_letters + string.digits + " -ÄßÅİı😂\t"
    texts = [
        "".join(rng.choices(mixed, k=rng.choice([0, 1, 16, 17, 17, 17, 18, 40])))
        for _ in range(500)
    ]
    texts += [*random_vins(4, 1500), *(case["text"] for case in VECTORS["cases"])]
    answers = peer.calls("check_vin", [[text] for text in texts])
    for text, theirs in zip(texts, answers, strict=True):
        ours = asdict(check_vin(text))
        assert theirs == {**ours, "again": list(ours["again"])}, text
