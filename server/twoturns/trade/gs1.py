"""
What the code on a box says: GTIN, lot, serial and expiry, from GS1 element strings and links.

Only a text that is announced as GS1, or begins with an item (01), is taken apart: a maker's own lot
code may begin with any digits. A lot (10) or serial (21) has no fixed length and ends at the
separator GS (U+001D). Where a printer left that out, the next field is swallowed and nothing is
wrong with the text: only a look at the print can tell, so such a lot is flagged.

Sources: S1, GS1 General Specifications: check digits, application identifiers, FNC1 as GS. S2, GS1
Digital Link URI syntax. Parsing is the library biip's; it keeps a GTIN with a wrong check digit
as text and says so beside it, which is looked at here. The phone's twin is
`client/src/trade/gs1.ts`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

from biip import ParseError
from biip.gs1_digital_link_uris import GS1DigitalLinkURI
from biip.gs1_element_strings import GS1ElementStrings
from biip.gs1_messages import GS1Message
from biip.gtin import Gtin

from twoturns.words import t
from twoturns.words.en.trade import gs1 as words

SEPARATOR: Final = "\x1d"
# A lot with another field inside: expiry with a real month and day, or a serial at its end.
_SWALLOWED: Final = re.compile(r".(?:17\d\d(?:0[1-9]|1[0-2])(?:[0-2]\d|3[01])|21...)")
_QUERIED: Final = re.compile(r"[?&](\d{2,4})=([^&#]*)")
_LONGEST: Final = 500  # characters, chosen: what an entry has room for
# What a scanner puts before GS1 text: its name for the symbol, or the FNC1 in first place. S1.
_ANNOUNCED: Final = re.compile(r"\](?:C1|d2|Q3|e0|J1)\x1d?|\x1d")


@dataclass(frozen=True)
class Label:
    """
    What a label says. `code` is one of label-read, label-plain (no GS1 text: a maker's own code),
    label-broken, label-gtin (its check digit is wrong).
    """

    code: str
    message: str
    hint: str
    gtin: str | None = None
    lot: str | None = None
    serial: str | None = None
    expires: date | None = None
    doubts: tuple[str, ...] = ()

    @property
    def accepted(self) -> bool:
        """Whether there is a lot or an item to go on with."""
        return self.code in ("label-read", "label-plain")

    def has_expired(self, today: date) -> bool:
        """Say whether the day it is good until is over."""
        return self.expires is not None and today > self.expires


_BROKEN: Final = Label(
    "label-broken",
    t(words.LABEL_BROKEN),
    t(words.LABEL_BROKEN_HINT),
)


def gtin_check_digit(payload: str) -> int:
    """
    Return the digit that follows the others of a GTIN: weights 3 and 1 from the right. S1.

    >>> gtin_check_digit("629104150021")
    3
    """
    if not (payload.isascii() and payload.isdecimal()):
        raise ValueError(f"a GTIN has digits only, got {payload!r}")
    total = sum(int(digit) * (3, 1)[at % 2] for at, digit in enumerate(reversed(payload)))
    return -total % 10


def check_gtin(text: str) -> Label:
    """Judge a trade number of 8, 12, 13 or 14 digits as it was typed or read. S1."""
    digits = text.strip(" \t\r\n").replace(" ", "")
    if not (digits.isascii() and digits.isdecimal()) or len(digits) not in (8, 12, 13, 14):
        message = t(words.GTIN_LENGTH, text=f"{text!r}")
        return Label("label-broken", message, t(words.GTIN_LENGTH_HINT))
    wanted = gtin_check_digit(digits[:-1])
    if digits[-1] != str(wanted):
        message = t(words.GTIN_CHECK, digits=digits, last=digits[-1], wanted=wanted)
        return Label("label-gtin", message, t(words.GTIN_CHECK_HINT))
    return _read(gtin=Gtin.parse(digits).as_gtin_14())


def read_label(text: str) -> Label:
    """
    Read what a camera or a hand scanner gave: an element string, a link, or a maker's own code.

    >>> label = read_label("0109506000134352" "17271231" "10ABC123\\x1d21SER-42")
    >>> label.lot, label.serial, str(label.expires)
    ('ABC123', 'SER-42', '2027-12-31')
    """
    text = text.strip(" \t\r\n")
    announced = _ANNOUNCED.match(text)
    text = text[announced.end() :] if announced else text
    link = text.lower().startswith(("http://", "https://"))
    if len(text) > _LONGEST:
        return _BROKEN
    if not (link or announced or re.match(r"01\d{14}", text)):
        return _not_gs1(text)
    # Of a field that a link's query has twice, the library takes the last and says nothing.
    if link and _contradicts(_QUERIED.findall(text)):
        return _BROKEN
    try:
        fields = (GS1DigitalLinkURI if link else GS1Message).parse(text).element_strings
    except (ParseError, ValueError):  # ValueError: a link that is none
        return _BROKEN
    if _contradicts([(each.ai.ai, each.value) for each in fields]):
        return _BROKEN
    if not link and not _is_parted(fields, text):
        return _BROKEN
    return _from(fields, text, link)


def _contradicts(said: list[tuple[str, str]]) -> bool:
    """A label may say a thing twice, but not two things: which lot is it?"""
    return len(set(said)) > len({key for key, _ in said})


def _is_parted(fields: GS1ElementStrings, text: str) -> bool:
    """
    Say whether each field without a fixed length ends at a separator, or with the text.

    The library also ends one at its greatest length, and makes two fields of one too long.
    """
    for each in fields:
        text = text.removeprefix(each.ai.ai + each.value)
        if text and each.ai.separator_required and not text.startswith(SEPARATOR):
            return False
        text = text.removeprefix(SEPARATOR)
    return not text


def _not_gs1(text: str) -> Label:
    """
    A code that nothing announces as GS1 text: a shop's item number, or a maker's own lot code.

    Such a code may well begin with the 10 or 21 of a field: it is taken whole.
    """
    # A linear code of the shops names the item alone. Eight digits may as well be a lot.
    if len(text) in (12, 13, 14) and check_gtin(text).code == "label-read":
        return replace(check_gtin(text), hint=t(words.LABEL_READ_HINT))
    if not 0 < len(text) <= 64 or not text.isprintable():
        return Label("label-broken", t(words.CODE_EMPTY), t(words.CODE_EMPTY_HINT))
    return Label(
        "label-plain",
        t(words.LABEL_PLAIN),
        t(words.LABEL_PLAIN_HINT),
        lot=text,
    )


def _from(fields: GS1ElementStrings, text: str, is_link: bool) -> Label:
    by_ai = {each.ai.ai: each for each in fields}
    item = by_ai.get("01")
    if item is not None and item.gtin is None:
        message = t(words.LABEL_GTIN)
        return Label("label-gtin", message, t(words.LABEL_GTIN_HINT))
    lot, serial = (by_ai[ai].value if ai in by_ai else None for ai in ("10", "21"))
    if lot is None and serial is None and item is None:
        return _BROKEN
    # Expiry, best before, expiry with an hour: whichever comes first is how long it is good.
    days = [by_ai[ai].date for ai in ("15", "17", "7003") if ai in by_ai]
    swallowed = lot is not None and SEPARATOR not in text and _SWALLOWED.search(lot)
    doubt = t(words.LOT_DOUBTFUL, lot=lot or "")
    return _read(
        gtin=None if item is None else item.value,
        lot=lot,
        serial=serial,
        expires=min((day for day in days if day is not None), default=None),
        doubts=(doubt,) if swallowed and not is_link else (),
    )


def _read(
    *,
    gtin: str | None,
    lot: str | None = None,
    serial: str | None = None,
    expires: date | None = None,
    doubts: tuple[str, ...] = (),
) -> Label:
    hint = t(words.LOT_DOUBTFUL_HINT) if doubts else t(words.NOTHING_MORE_TO_DO)
    return Label("label-read", t(words.LABEL_READ), hint, gtin, lot, serial, expires, doubts)
