"""
Sentences with arguments, against ICU's own examples and CLDR's samples of plurals.

`tests/client/messages.test.ts` tries the same vectors on the phone's twin, and on
`intl-messageformat`.
"""

import pytest

from ledger_vectors import vectors
from twoturns.words.message import MessageError, english, format_message, parse, t

VECTORS = vectors("messages")


def polish(n: int) -> str:
    """CLDR, plurals.xml, `pl`, of whole numbers."""
    if n == 1:
        return "one"
    return "few" if n % 10 in (2, 3, 4) and n % 100 not in (12, 13, 14) else "many"


PLURAL = {"en": english, "pl": polish}


@pytest.mark.parametrize("case", VECTORS["messages"], ids=lambda case: case["says"])
def test_says_what_the_phone_says(case):
    plural = PLURAL[case.get("locale", "en")]
    assert format_message(case["message"], case["args"], plural) == case["says"]


@pytest.mark.parametrize("locale", VECTORS["cldr"])
def test_has_the_plural_forms_of_cldr(locale):
    for form, samples in VECTORS["cldr"][locale].items():
        assert {n: PLURAL[locale](n) for n in samples} == dict.fromkeys(samples, form)


@pytest.mark.parametrize("message", [*VECTORS["refused"], *VECTORS["stricter"]])
def test_what_is_no_message_is_refused(message):
    with pytest.raises(MessageError):
        parse(message)


@pytest.mark.parametrize(
    ("message", "args"),
    [
        ("{n} left", {}),
        ("{n, plural, one {a} other {b}}", {"n": "1"}),
        ("{n, plural, one {a} other {b}}", {"n": 1.0}),
        ("{n, number}", {"n": "1"}),
    ],
)
def test_an_argument_that_is_missing_or_of_no_use_is_refused(message, args):
    with pytest.raises(MessageError, match="argument n"):
        t(message, **args)


def test_a_number_of_messages_says_the_same_on_the_phone(peer):
    message = "{n, plural, =0 {none} one {# is} other {# are}}, {x, number}, {x, number, ::.00}"
    numbers = [*range(0, 1300, 7), *range(999_990, 1_000_010)]
    all_args = [{"n": n, "x": n / 37 - 5} for n in numbers]
    said = peer.calls("format_message", [["en-GB", message, args] for args in all_args])
    assert said == [t(message, **args) for args in all_args]
