"""Keys of lots and tools: shared vectors, Unicode's own case folding, and the phone."""

import random
import string
import sys
import unicodedata

import pytest

from ledger_vectors import vectors
from twoturns.trade.spelling import lot_key, tool_key

VECTORS = vectors("spelling")
# Blocks that are settled: of others one language's edition of Unicode knows more than the other's.
_BLOCKS = (range(0x180), range(0x370, 0x530), range(0x2000, 0x2070), range(0xFF01, 0xFF5F))
SHARED = [chr(n) for block in _BLOCKS for n in block if unicodedata.category(chr(n)) != "Cn"]


@pytest.fixture(scope="module")
def every_sign():
    """Nine in ten have no name: nothing is known of them by which one could differ from another."""
    of_category = {n: unicodedata.category(chr(n)) for n in range(sys.maxunicode + 1)}
    named = [chr(n) for n, category in of_category.items() if category not in ("Cs", "Cn", "Co")]
    nameless = [chr(n) for n, category in of_category.items() if category in ("Cn", "Co")]
    return [*named, *nameless[::101]]


def test_keys_are_as_the_vectors_say(peer):
    for case in VECTORS:
        assert (lot_key(case["text"]), tool_key(case["text"])) == (case["lot"], case["tool"]), case
    texts = [[case["text"]] for case in VECTORS]
    assert peer.calls("lot_key", texts) == [case["lot"] for case in VECTORS]
    assert peer.calls("tool_key", texts) == [case["tool"] for case in VECTORS]


def test_what_unicode_calls_the_same_but_for_case_is_the_same(every_sign):
    """Against Unicode 3.13, D146: X and Y match when their NFKC forms fold to the same case."""
    for sign in every_sign:
        folded = unicodedata.normalize("NFKC", sign).casefold()
        same = {sign, sign.upper(), sign.lower(), folded, unicodedata.normalize("NFD", sign)}
        for key in (lot_key, tool_key):
            assert len({key(f"a{each}b") for each in same}) == 1, ascii(sign)


def test_a_key_is_its_own_key(every_sign):
    for sign in every_sign:
        for key in (lot_key, tool_key):
            assert key(key(f"a{sign}b")) == key(f"a{sign}b"), ascii(sign)


def test_a_tools_point_counts_and_a_lots_does_not():
    assert lot_key("1.0") == lot_key("10")
    assert tool_key("1.0") != tool_key("10")
    assert tool_key("TW-2/1") != tool_key("TW-21")


def test_the_phone_makes_the_same_keys(peer):
    rng = random.Random(4)
    likely = string.ascii_letters + string.digits + " -_/.\u2013\u2011\u2212\u00a0\u200b\u00ad"
    texts = ["".join(rng.choices(likely, k=rng.randint(0, 12))) for _ in range(500)]
    texts += ["".join(rng.choices(SHARED, k=rng.randint(1, 8))) for _ in range(2_000)]
    texts += ["".join(SHARED[at : at + 40]) for at in range(0, len(SHARED), 40)]
    calls = [[text] for text in texts]
    assert peer.calls("lot_key", calls) == [lot_key(text) for text in texts]
    assert peer.calls("tool_key", calls) == [tool_key(text) for text in texts]
