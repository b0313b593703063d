"""
When two spellings name one lot, or one tool.

People type what they read on a box, a tool or a letter from the maker: with another case, other
dashes, a space more. What is compared is a *key*. Both keys begin alike:

1. Unicode's compatibility form (NFKC): wide letters, ligatures and small figures become plain;
2. lower, then upper case, by Unicode's own tables and no language's: so that both forms of a sharp
   s meet; then NFKC again, for a letter may have come apart.

Of that a *lot's* key keeps letters and figures alone. Two lots that differ by nothing else are
taken for one: a lot too many is looked at, and none that is recalled passes by. A *tool's* key
drops spaces, dashes, low lines, accents that stand alone and signs that do not show, and keeps a
point or a stroke: of two blades 1.0 and 10, one must not measure on the other's check. A text that
would have no key is its own.

Not covered: signs that only look alike (0 and O, the Latin and the Cyrillic A), and letters, or
pairs of case, that are in one side's edition of Unicode and not yet in the other's.

Sources: S1, Unicode Standard Annex 15, NFKC. S2, Unicode's PropList.txt, property Dash: all of them
are Pd after NFKC, but for the minus sign and the swung dash. That a lot is compared so is our own
rule: common practice, no source. The phone's twin is `client/src/work/spelling.ts`.
"""

import unicodedata
from functools import lru_cache

_DASHES_THAT_ARE_SIGNS = "\u2212\u2053"  # S2
_NO_PART_OF_A_TOOLS_NUMBER = {"Zs", "Zl", "Zp", "Cc", "Cf", "Pd", "Pc", "Mn", "Mc", "Me"}


@lru_cache(256)  # one tool, and one lot, is named by many entries of a batch
def lot_key(lot: str) -> str:
    """
    Return a lot as it is compared.

    >>> lot_key("xb-77 04"), lot_key("XB_77/04"), lot_key("-")
    ('XB7704', 'XB7704', '-')
    """
    return "".join(each for each in _plain(lot) if unicodedata.category(each)[0] in "LN") or lot


@lru_cache(256)
def tool_key(tool: str) -> str:
    """
    Return a tool's number as it is compared.

    >>> tool_key("tw\u20132"), tool_key("TW 2"), tool_key("1.0"), tool_key("10")
    ('TW2', 'TW2', '1.0', '10')
    """
    return "".join(each for each in _plain(tool) if not _is_dropped(each)) or tool


def _plain(text: str) -> str:
    cased = unicodedata.normalize("NFKC", text).lower().upper()
    return unicodedata.normalize("NFKC", cased)


def _is_dropped(each: str) -> bool:
    category = unicodedata.category(each)
    return category in _NO_PART_OF_A_TOOLS_NUMBER or each in _DASHES_THAT_ARE_SIGNS
