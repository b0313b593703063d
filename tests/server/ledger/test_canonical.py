"""Canonical JSON: the shared vectors, RFC 8785, and that four serialisers write the same bytes."""

import json
import struct
from datetime import UTC, datetime
from enum import StrEnum

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from ledger_values import values
from ledger_vectors import vectors
from peer import PeerError
from twoturns.ledger import canonical
from twoturns.ledger.errors import NotCanonical

PUBLISHED, OURS = vectors("published"), vectors("canonical")


def says(case):
    return case["says"]


@pytest.mark.parametrize("case", OURS["accepted"], ids=says)
def test_reads_and_writes_what_is_canonical(case):
    data = case["text"].encode()
    assert canonical.dumps(canonical.loads(data)) == data


@pytest.mark.parametrize("case", OURS["refused"], ids=says)
def test_refuses_text_that_is_not_canonical(case):
    with pytest.raises(NotCanonical) as caught:
        canonical.loads(case["text"].encode())
    assert caught.value.code == "not-canonical"
    assert caught.value.hint


@pytest.mark.parametrize("case", OURS["refused_bytes"], ids=says)
def test_refuses_bytes_that_are_not_canonical(case):
    with pytest.raises(NotCanonical):
        canonical.loads(bytes.fromhex(case["hex"]))


def test_a_hundred_thousand_brackets_are_refused_and_not_a_crash():
    with pytest.raises(NotCanonical):
        canonical.loads(b"[" * 100_000)


def test_the_place_of_the_fault_is_named():
    with pytest.raises(NotCanonical, match=r"\$\.a\[1\]\.b is a float"):
        canonical.dumps({"a": [0, {"b": 0.5}]})
    with pytest.raises(NotCanonical, match=r"byte 6 .* found b',\"a\":2\}', expected b'\}'"):
        canonical.loads(b'{"a":2,"a":2}')


class Word(StrEnum):
    YES = "yes"


@pytest.mark.parametrize(
    "value",
    [
        *(0.0, float("nan"), float("inf"), 2**53, 2**70, "\ud800", {1: 2}, {"A": 1}, b"x", {1}),
        *(Word.YES, datetime(2026, 11, 24, tzinfo=UTC), object()),
    ],
    ids=lambda value: type(value).__name__,
)
def test_does_not_write_what_it_could_not_read(value):
    with pytest.raises(NotCanonical):
        canonical.dumps([value])


def test_rfc_8785_text_sample():
    case = PUBLISHED["rfc8785_text"]
    assert canonical.dumps(case["value"]).decode() == case["canonical"]


@pytest.mark.parametrize(("bits", "text"), PUBLISHED["rfc8785_numbers"]["cases"].items())
def test_of_the_numbers_of_rfc_8785_only_small_whole_ones_are_read(bits, text):
    (number,) = struct.unpack(">d", bytes.fromhex(bits))
    assert rfc8785.dumps(number).decode() == text
    if number == 0:
        assert canonical.loads(text.encode()) == 0
    else:
        with pytest.raises(NotCanonical):
            canonical.loads(text.encode())


@given(values)
def test_every_serialiser_writes_the_same_bytes(peer, value):
    written = canonical.dumps(value)
    assert written == rfc8785.dumps(value)
    plain = json.dumps(value, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    assert written == plain.encode()
    assert written.decode() == peer.call("canonical", value)
    assert canonical.loads(written) == value
    assert peer.call("readCanonical", written.hex()) == value


def verdicts(peer, data):
    """What each language says of bytes: the value, or the code of the refusal."""
    try:
        here = canonical.loads(data)
    except NotCanonical as error:
        here = error.code
    try:
        there = peer.call("readCanonical", data.hex())
    except PeerError as error:
        there = error.code
    return here, there


@given(values, st.data())
def test_both_languages_refuse_the_same_damaged_bytes(peer, value, data):
    written = bytearray(canonical.dumps(value))
    for _ in range(data.draw(st.integers(1, 3))):
        at = data.draw(st.integers(0, len(written)))
        cut = data.draw(st.integers(0, 2))
        put = data.draw(st.binary(max_size=2) | st.sampled_from([b"0", b".0", b"\\", b'"', b"{}"]))
        written[at : at + cut] = put
    here, there = verdicts(peer, bytes(written))
    assert here == there


@given(st.text(st.characters(categories=["Mn", "Lo", "Ll", "Lm", "Cs"]), min_size=1, max_size=8))
def test_both_languages_agree_on_text_that_may_not_be_nfc(peer, text):
    # Combining characters that one Unicode knows and the other does not are the gap canonical.py
    # names: the characters here are those this interpreter knows.
    data = json.dumps(text, ensure_ascii=False).encode(errors="surrogatepass")
    here, there = verdicts(peer, data)
    assert here == there


@pytest.mark.parametrize("group", ["accepted", "refused", "refused_bytes"])
def test_both_languages_end_alike_on_every_shared_vector(peer, group):
    for case in OURS[group]:
        data = bytes.fromhex(case["hex"]) if "hex" in case else case["text"].encode()
        here, there = verdicts(peer, data)
        assert here == there, case["says"]
        assert (here == "not-canonical") == (group != "accepted")
