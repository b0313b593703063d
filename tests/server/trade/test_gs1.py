"""Labels against GS1's printed numbers, and against python-stdnum on random ones."""

import random
import string
from datetime import date

import pytest
from stdnum import ean, gs1_128
from stdnum.exceptions import ValidationError

from twoturns.trade.gs1 import SEPARATOR, check_gtin, gtin_check_digit, read_label

# Numbers as GS1's own pages print them (Emirates and Hong Kong, India, Sweden).
PRINTED = ["6291041500213", "8904000210037", "7300011000017"]
WHOLE = f"010950600013435217271231{'10'}ABC123{SEPARATOR}21SER-42"
TWO_THINGS = [
    f"{WHOLE}{SEPARATOR}10OTHER",
    f"010950600013435217200101{'17'}40010110A",
    "https://weir.example/01/09506000134352/10/OLD?10=NEW",
    "https://weir.example/01/09506000134352/10/A?17=200101&17=400101",
]
FIELDS = ("09506000134352", "ABC123", "SER-42", date(2027, 12, 31))


@pytest.mark.parametrize("number", PRINTED)
def test_a_printed_number_holds_and_a_slip_does_not(number):
    assert check_gtin(number).gtin == number.rjust(14, "0")
    wrong = number[:-1] + str((int(number[-1]) + 1) % 10)
    found = check_gtin(wrong)
    assert (found.code, found.accepted) == ("label-gtin", False)
    assert f"the others ask for {number[-1]}" in found.message


def test_check_digits_agree_with_stdnum():
    rng = random.Random(9)
    for length in (8, 12, 13, 14):
        for _ in range(100):
            payload = "".join(rng.choices(string.digits, k=length - 1))
            assert str(gtin_check_digit(payload)) == ean.calc_check_digit(payload)


@pytest.mark.parametrize("text", ["", "12345", "62910415O0213", "٦٢٩١٠٤١٥٠٠٢١٣"])
def test_what_is_no_trade_number_is_said(text):
    assert check_gtin(text).code == "label-broken"


@pytest.mark.parametrize(
    "text",
    [
        WHOLE,
        "]d2" + WHOLE,
        SEPARATOR + WHOLE,
        "https://id.gs1.org/01/09506000134352/10/ABC123/21/SER-42?17=271231",
    ],
)
def test_one_label_in_all_its_forms(text):
    found = read_label(text)
    assert (found.gtin, found.lot, found.serial, found.expires) == FIELDS
    assert (found.code, found.doubts) == ("label-read", ())
    assert found.has_expired(date(2028, 1, 1))
    assert not found.has_expired(date(2027, 12, 31))


def test_a_label_that_names_two_lots_or_days_names_none():
    """Else the second one would hide a recalled lot, or a day that is over, behind another."""
    assert {read_label(text).code for text in TWO_THINGS} == {"label-broken"}
    once_more = WHOLE + SEPARATOR + "10ABC123"
    assert read_label(once_more).lot == "ABC123"


@pytest.mark.parametrize("link", ["https://[", "https://weir.example/01/09506000134352/10/%E0"])
def test_a_link_that_is_none_is_told(link):
    assert read_label(link).code == "label-broken"


def test_day_nought_is_the_last_of_the_month():
    assert read_label("0109506000134352" + "17270200").expires == date(2027, 2, 28)


@pytest.mark.parametrize(
    ("fields", "until"),
    [  # GS1 General Specifications 3.4 and 3.8: best before, expiry, expiry date and time
        ("15270301", date(2027, 3, 1)),
        ("15270300", date(2027, 3, 31)),
        ("1727050115270301", date(2027, 3, 1)),
        ("1727020115270301", date(2027, 2, 1)),
        ("70032703011200", date(2027, 3, 1)),
        ("70032703019999" + SEPARATOR + "17270228", date(2027, 2, 28)),
    ],
)
def test_the_first_day_that_ends_it_counts(fields, until):
    assert read_label("0109506000134352" + fields).expires == until


def test_a_thirteenth_month_breaks_the_label():
    assert read_label("0109506000134352" + "17271331").code == "label-broken"


def test_a_wrong_check_digit_inside_a_label_is_found():
    found = read_label("0109506000134353" + "10ABC123")
    assert (found.code, found.lot, found.accepted) == ("label-gtin", None, False)


def test_a_swallowed_serial_is_doubted_and_a_plain_lot_is_not():
    swallowed = read_label("0109506000134352" + "10" + "27123121SER")
    assert swallowed.lot == "27123121SER"
    assert "compare it with the print" in swallowed.doubts[0]
    assert read_label("0109506000134352" + "10" + "K4-0077").doubts == ()


def test_a_makers_own_code_is_a_lot_and_a_shop_code_is_not():
    assert read_label("LOT-77/B").lot == "LOT-77/B"
    shop = read_label("6291041500213")
    assert (shop.gtin, shop.lot) == ("06291041500213", None)
    assert "printed beside" in shop.hint


@pytest.mark.parametrize(
    "text", ["", "\x00\x01", "x" * 65, "http://weir.example/lot/7", "0109506000134352x"]
)
def test_what_cannot_be_read_is_said(text):
    found = read_label(text)
    assert (found.code, found.accepted) == ("label-broken", False)
    assert found.hint.endswith(".")


def test_random_labels_agree_with_stdnum():
    rng = random.Random(10)
    letters = string.ascii_uppercase + string.digits + "-/."
    for _ in range(300):
        payload = "".join(rng.choices(string.digits, k=13))
        gtin = payload + str(gtin_check_digit(payload))
        day = date(rng.randint(2024, 2048), rng.randint(1, 12), rng.randint(1, 28))
        lot, serial = ("".join(rng.choices(letters, k=rng.randint(1, 20))) for _ in "ab")
        text = f"01{gtin}17{day:%y%m%d}10{lot}{SEPARATOR}21{serial}"
        theirs = gs1_128.info(text, separator=SEPARATOR)
        ours = read_label(text)
        assert (ours.gtin, ours.lot, ours.serial) == (theirs["01"], theirs["10"], theirs["21"])
        assert ours.expires == theirs["17"] == day


def test_damaged_labels_are_refused_by_both():
    rng, both = random.Random(11), 0
    for _ in range(300):
        at = rng.randrange(len(WHOLE))
        damaged = WHOLE[:at] + rng.choice(string.digits) + WHOLE[at + 1 :]
        try:
            gs1_128.info(damaged, separator=SEPARATOR)
        except (ValidationError, ValueError):
            found = read_label(damaged)
            # What no longer looks like GS1 text at all is a maker's own code, whole as it is.
            assert found.code != "label-read", damaged
            both += 1
    assert both > 100


def phone_says(label):
    """What the phone's twin gives for a label that says so."""
    said = {"code": label.code, "accepted": label.accepted, "message": label.message}
    said |= {"hint": label.hint, "doubts": list(label.doubts)}
    fields = {"gtin": label.gtin, "lot": label.lot, "serial": label.serial}
    fields["expires"] = None if label.expires is None else str(label.expires)
    return said | {name: value for name, value in fields.items() if value is not None}


def random_text(rng):
    """A label of some of the fields of a part's label, whole or damaged, announced or not."""
    lot, serial = (
        "".join(rng.choices(string.ascii_uppercase + "0127-/", k=rng.randint(1, 14))) for _ in "ab"
    )
    payload = "".join(rng.choices(string.digits, k=13))
    gtin = payload + str((gtin_check_digit(payload) + rng.choice([0, 0, 0, 1])) % 10)
    day = f"{rng.randint(24, 48):02}{rng.randint(0, 13):02}{rng.randint(0, 31):02}"
    parts = [
        f"17{day}",
        f"15{rng.randint(24, 48):02}{rng.randint(1, 12):02}{rng.randint(0, 28):02}",
        f"7003{day}{rng.choice(['1200', '2359', '9999', '2400', '1260'])}",
        f"10{lot}",
        f"21{serial}",
        f"30{rng.randint(1, 99)}",
        "3103000500",
        f"240{lot}",
    ]
    chosen = rng.sample(parts, rng.randint(0, 4))
    text = f"01{gtin}" + rng.choice([SEPARATOR, SEPARATOR, ""]).join(chosen)
    if rng.random() < 0.2:
        text = f"https://weir.example/01/{gtin}/10/{lot.replace('/', '%2F')}?17={day}"
    elif rng.random() < 0.4:  # what is a link at all is for each language's own library to say
        at = rng.randrange(len(text))
        text = text[:at] + rng.choice("0A1 " + SEPARATOR) + text[at + 1 :]
    return rng.choice(["", "", "]d2", "]C1" + SEPARATOR, SEPARATOR, " "]) + text


def test_the_phone_reads_the_same(peer):
    rng = random.Random(13)
    texts = [random_text(rng) for _ in range(2_000)]
    texts += [
        *TWO_THINGS,
        "https://weir.example/01/09506000134352/10/%E0",
        "https://weir.example/01/09506000134352/10/A?q=" + "z" * 500,
        WHOLE,
        "LOT-77/B",
        "10ABC77",
        "6291041500213",
        "",
        "x" * 65,
        "L\u00a07",
        "L\u00e9on 7",
        "\U0001f527",
    ]
    answers = peer.calls("read_label", [[text, 2026] for text in texts])
    read = 0
    for text, theirs in zip(texts, answers, strict=True):
        ours = read_label(text)
        assert theirs == phone_says(ours), text
        read += ours.code == "label-read" and ours.lot is not None
    assert read > 300
