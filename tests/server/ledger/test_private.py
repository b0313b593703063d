"""Private values: what is written reads back, in both languages, and nothing else is read."""

import hashlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger_values import texts
from peer import PeerError
from twoturns.ledger import canonical, private
from twoturns.ledger.errors import BadPrivateValue, LedgerError, NotCanonical, TooLarge

SALT = bytes(range(16))


@given(st.sampled_from(private.FIELDS), texts, st.binary(min_size=16, max_size=16))
def test_what_is_written_reads_back_in_both_languages(peer, field, value, salt):
    data = private.write(field, value, salt)
    read = private.read(data)
    assert (read.field, read.value, read.salt) == (field, value, salt)
    name = hashlib.sha256(data).hexdigest()
    assert private.blob_id(data) == name
    assert peer.call("writePrivate", field, value, salt.hex()) == [data.hex(), name]
    assert peer.call("readPrivate", data.hex()) == [field, value, salt.hex()]


def blob(**said):
    return canonical.dumps({"field": "vin", "salt": "A" * 22, "value": "x"} | said)


@pytest.mark.parametrize(
    ("data", "error"),
    [
        (blob(field="colour"), BadPrivateValue),
        (blob(field=1), BadPrivateValue),
        (blob(value=1), BadPrivateValue),
        (blob(salt=1), BadPrivateValue),
        (blob(salt="A" * 21), BadPrivateValue),
        (blob(salt="A" * 21 + "B"), BadPrivateValue),
        (blob(salt="A" * 24), BadPrivateValue),
        (blob(more=1), BadPrivateValue),
        (b'{"field":"vin","value":"x"}', BadPrivateValue),
        (b"[]", BadPrivateValue),
        (b"{", NotCanonical),
        (blob() + b" ", NotCanonical),
    ],
)
def test_another_form_is_refused_in_both_languages(data, error, peer):
    with pytest.raises(error) as caught:
        private.read(data)
    assert caught.value.hint
    with pytest.raises(PeerError) as there:
        peer.call("readPrivate", data.hex())
    assert there.value.code == caught.value.code


def test_4_kib_is_the_limit(peer):
    # 1,500 characters of three bytes fit the limit of characters, not that of bytes.
    with pytest.raises(TooLarge, match="at most 4096"):
        private.write("words", "\u20ac" * 1500, SALT)
    with pytest.raises(PeerError) as there:
        peer.call("writePrivate", "words", "\u20ac" * 1500, SALT.hex())
    assert there.value.code == "too-large"
    assert len(private.write("words", "\u20ac" * 1300, SALT)) < private.MAX_BYTES


def test_what_could_not_be_read_is_not_written():
    for field, value, salt in [("colour", "x", SALT), ("vin", "x", b""), ("vin", "e\u0301", SALT)]:
        with pytest.raises(LedgerError):
            private.write(field, value, salt)


def test_the_same_value_with_another_salt_is_another_blob():
    one, other = (private.write("plate", "DEMO 1", bytes([n]) * 16) for n in (1, 2))
    assert private.blob_id(one) != private.blob_id(other)
