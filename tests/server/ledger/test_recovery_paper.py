"""The recovery key as it stands on paper, and as it is typed back."""

import base64

import pytest
from hypothesis import given
from hypothesis import strategies as st

from twoturns.ledger import recovery
from twoturns.ledger.errors import BadKey

# RFC 4648, section 10, as printed there: what the alphabet is held against.
RFC_4648_BASE32 = [(b"fooba", "MZXW6YTB"), (b"", "")]
# RFC 4648, section 6, table 3.
RFC_4648_ALPHABET = "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567"

secrets = st.binary(min_size=recovery.SECRET_BYTES, max_size=recovery.SECRET_BYTES)


@pytest.mark.parametrize(("data", "printed"), RFC_4648_BASE32)
def test_the_alphabet_is_the_one_of_rfc_4648(data, printed):
    assert base64.b32encode(data).decode() == printed


def test_the_first_bytes_stand_on_paper_as_rfc_4648_writes_them():
    assert recovery.write(b"fooba" * 3 + b"x").startswith("MZXW-6YTB-MZXW-6YTB-MZXW-6YTB-")


@given(secrets)
def test_what_is_written_is_read_back(secret):
    text = recovery.write(secret)
    assert [len(group) for group in text.split("-")] == [4] * recovery.GROUPS
    assert set(text) <= {*RFC_4648_ALPHABET, "-"}
    assert recovery.read(text) == secret
    typed = text.lower().replace("-", " ").replace("o", "0").replace("i", "1").replace("b", "8")
    assert recovery.read(f"  {typed}\n") == secret


@given(secrets, st.data())
def test_one_wrong_character_or_two_that_changed_places_are_found(secret, data):
    text = recovery.write(secret).replace("-", "")
    at = data.draw(st.integers(0, len(text) - 1))
    other = data.draw(st.sampled_from(RFC_4648_ALPHABET.replace(text[at], "")))
    with pytest.raises(BadKey, match="a character of the recovery key is wrong"):
        recovery.read(text[:at] + other + text[at + 1 :])
    if at and text[at] != text[at - 1]:
        with pytest.raises(BadKey, match="a character"):
            recovery.read(text[: at - 1] + text[at] + text[at - 1] + text[at + 1 :])


@pytest.mark.parametrize(
    ("text", "fact"),
    [
        ("", "32 letters and digits, got 0"),
        (recovery.write(bytes(16))[:-1], "got 31"),
        (recovery.write(bytes(16)) + "A", "got 33"),
        ("9" + recovery.write(bytes(16))[1:], "only A to Z and 2 to 7"),
        ("Ä" + recovery.write(bytes(16))[1:], "only A to Z and 2 to 7"),
    ],
)
def test_what_is_no_recovery_key_is_told_with_what_to_do(text, fact):
    with pytest.raises(BadKey, match=fact) as caught:
        recovery.read(text)
    assert "Compare each group" in caught.value.hint


def test_two_papers_are_two_keys():
    one, other = recovery.generate(), recovery.generate()
    assert recovery.signing_key(one).key != recovery.signing_key(other).key
    assert recovery.signing_key(one).seed != one
