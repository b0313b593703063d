"""Random spellings of one name, and of names that are another one."""

import random

_SPACES = ["", "", "", " ", "\u00a0", "\u2009", "\u200b", "\u00ad"]
_DASHES = ["-", "\u2010", "\u2011", "\u2013", "\u2014", "\u2212", "_", " "]


def spelled(name: str, rng: random.Random) -> str:
    """Return a name as somebody might write it: case, spaces, dashes, wide letters."""
    return "".join(_sign(each, rng) for each in name).strip() or name


def others(name: str, rng: random.Random) -> list[str]:
    """Return names that differ from one by a letter or figure: too many, too few, another."""
    at = rng.randrange(len(name))
    while not name[at].isalnum():
        at = rng.randrange(len(name))
    wrong = "Q" if name[at] != "Q" else "7"
    return [name[:at] + name[at + 1 :], name[:at] + wrong + name[at + 1 :], f"{name}8"]


def _sign(sign: str, rng: random.Random) -> str:
    if sign == "-":
        return rng.choice(_DASHES)
    wide = chr(ord(sign) + 0xFEE0)  # the full-width form of a sign of ASCII
    return rng.choice([sign, sign.lower(), wide]) + rng.choice(_SPACES)
