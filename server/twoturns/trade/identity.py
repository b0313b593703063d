"""
The vehicle identification number: what can be wrong with one that was read or typed.

Seventeen characters without I, O and Q: hard everywhere. The check character at position 9 is
hard only where the law asks for it (first character 1 to 5, or L); elsewhere makers are free to
use the place as they like, and a number is only said to carry none. No model year is derived.

The check finds nine slips in ten, but letters that count the same hide one another (S and 2, U
and M, V and N, 8 and H, Y and 8), so the result names the places to look at once more.

Sources: S1, 49 CFR 565.15(c), tables III to V: values of letters, weights, remainder. S2, own
count: 92.2 % of random single slips and 91.8 % of swapped neighbours are found. Which characters
look alike on a stamped plate: common practice, no source. The twin is
`client/src/trade/identity.ts`.
"""

from __future__ import annotations

from dataclasses import dataclass

from twoturns.words import t
from twoturns.words.en.trade import identity as words

LENGTH = 17  # S1
CHECK_AT = 9  # S1: position, counted from 1
CHECKED_REGIONS = "12345L"

# S1, table III
_VALUES = {str(digit): digit for digit in range(10)} | dict(
    zip("ABCDEFGHJKLMNPRSTUVWXYZ", [*range(1, 9), *range(1, 6), 7, 9, *range(2, 10)], strict=True)
)
_WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)  # S1, table IV
_NOT_USED = {"I": "1", "O": "0", "Q": "0"}
_LOOK_ALIKE = ("2SZ", "5S", "8BHY", "BS", "0D", "6G", "UVM", "NVM", "1L7T")


@dataclass(frozen=True)
class Slip:
    """A character that may have been misread: position from 1, what was read, what it may be."""

    position: int
    read: str
    perhaps: str


@dataclass(frozen=True)
class VinResult:
    """`code` is one of vin-holds, vin-unchecked, vin-length, vin-letter, vin-check."""

    vin: str
    code: str
    accepted: bool
    message: str
    hint: str
    again: tuple[Slip, ...]


def check_character(vin: str) -> str:
    """
    The character that belongs at position 9, from the other sixteen. S1.

    >>> check_character("1M8GDM9A_KP042788")
    'X'
    """
    total = sum(
        _VALUES[letter] * weight for letter, weight in zip(vin, _WEIGHTS, strict=True) if weight
    )
    return "0123456789X"[total % 11]


def check_vin(text: str) -> VinResult:
    """Judge a number as it was typed or read; small letters and outer blanks are no fault."""
    vin = _tidied(text)
    strange = [(index + 1, letter) for index, letter in enumerate(vin) if letter not in _VALUES]
    if len(vin) != LENGTH:
        return _wrong_length(vin, strange)
    if strange:
        return _wrong_letter(vin, strange)
    if vin[0] not in CHECKED_REGIONS:
        return VinResult(
            vin,
            "vin-unchecked",
            accepted=True,
            message=t(words.VIN_UNCHECKED),
            hint=t(words.VIN_UNCHECKED_HINT),
            again=tuple(_slips(vin)),
        )
    wanted = check_character(vin)
    slips = [s for s in _slips(vin) if _holds(_with(vin, s))]
    if vin[CHECK_AT - 1] == wanted:
        return VinResult(
            vin,
            "vin-holds",
            accepted=True,
            message=t(words.VIN_HOLDS),
            hint=t(words.VIN_HOLDS_HIDDEN_HINT) if slips else t(words.NOTHING_MORE_TO_DO),
            again=tuple(slips),
        )
    return VinResult(
        vin,
        "vin-check",
        accepted=False,
        message=t(words.VIN_CHECK, position=CHECK_AT, read=vin[CHECK_AT - 1], wanted=wanted),
        hint=t(words.VIN_CHECK_MARKED_HINT) if slips else t(words.VIN_CHECK_HINT),
        again=tuple(slips),
    )


def _tidied(text: str) -> str:
    """Only what both languages do alike: blanks at the ends go, a to z become capitals."""
    return "".join(
        chr(ord(letter) - 32) if "a" <= letter <= "z" else letter
        for letter in text.strip(" \t\r\n")
    )


def _wrong_length(vin: str, strange: list[tuple[int, str]]) -> VinResult:
    parted = any(letter in " -" for _, letter in strange)
    return VinResult(
        vin,
        "vin-length",
        accepted=False,
        message=t(words.VIN_LENGTH, length=len(vin), expected=LENGTH),
        hint=t(words.VIN_LENGTH_PARTED_HINT) if parted else t(words.VIN_LENGTH_HINT),
        again=(),
    )


def _wrong_letter(vin: str, strange: list[tuple[int, str]]) -> VinResult:
    position, letter = strange[0]
    meant = _NOT_USED.get(letter)
    if meant:
        hint = t(words.VIN_LETTER_MEANT_HINT, meant=meant)
    elif letter > "~":  # of another alphabet, or as wide as two
        hint = t(words.VIN_LETTER_ALIKE_HINT)
    else:
        hint = t(words.VIN_LETTER_HINT)
    return VinResult(
        vin,
        "vin-letter",
        accepted=False,
        message=t(words.VIN_LETTER, position=position, letter=letter),
        hint=hint,
        again=tuple(
            Slip(position, letter, _NOT_USED[letter])
            for position, letter in strange
            if letter in _NOT_USED
        ),
    )


def _slips(vin: str) -> list[Slip]:
    """Every way one character may have been taken for another that looks like it."""
    return [
        Slip(index + 1, letter, other)
        for index, letter in enumerate(vin)
        for other in sorted({c for group in _LOOK_ALIKE if letter in group for c in group})
        if other != letter
    ]


def _with(vin: str, slip: Slip) -> str:
    return vin[: slip.position - 1] + slip.perhaps + vin[slip.position :]


def _holds(vin: str) -> bool:
    return vin[CHECK_AT - 1] == check_character(vin)
