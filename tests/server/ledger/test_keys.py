"""Keys against RFC 8032, RFC 8037 and RFC 7638, `cryptography` and `jwcrypto`."""

import json

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from hypothesis import given
from hypothesis import strategies as st
from jwcrypto.jwk import JWK

from ledger_entries import CONSOLE, WORKSHOP, key
from ledger_vectors import vectors
from peer import PeerError
from twoturns.ledger import base64url, keys
from twoturns.ledger.errors import BadKey
from twoturns.ledger.keys import SigningKey

PUBLISHED = vectors("published")
seeds = st.binary(min_size=32, max_size=32)


@pytest.mark.parametrize("case", PUBLISHED["rfc8032"]["cases"])
def test_rfc_8032(case, peer):
    ours = SigningKey.from_seed(bytes.fromhex(case["seed"]))
    message, signature = bytes.fromhex(case["message"]), bytes.fromhex(case["signature"])
    assert base64url.decode(ours.key).hex() == case["public"]
    assert ours.sign(message) == signature
    assert keys.verify(ours.key, message, signature)
    assert ours.seed.hex() == case["seed"]
    assert peer.call("publicKey", case["seed"]) == ours.key
    assert peer.call("sign", case["seed"], case["message"]) == case["signature"]
    assert peer.call("verify", ours.key, case["message"], case["signature"])


def test_rfc_8037_key_thumbprint_and_signature():
    case = PUBLISHED["rfc8037"]
    ours = SigningKey.from_seed(base64url.decode(case["jwk"]["d"]))
    assert ours.key == case["jwk"]["x"]
    assert ours.thumbprint == keys.thumbprint(ours.key) == case["thumbprint"]
    signed, _, signature = case["jws"].rpartition(".")
    assert base64url.encode(ours.sign(signed.encode())) == signature


@given(seeds, st.binary(max_size=100))
def test_signs_and_names_keys_as_the_other_libraries_do(peer, seed, message):
    ours = SigningKey.from_seed(seed)
    theirs = Ed25519PrivateKey.from_private_bytes(seed)
    signature = ours.sign(message)
    assert signature == theirs.sign(message)
    theirs.public_key().verify(signature, message)
    jwk = JWK(**json.loads(f'{{"kty":"OKP","crv":"Ed25519","x":"{ours.key}"}}'))
    assert ours.thumbprint == jwk.thumbprint() == peer.call("thumbprint", ours.key)
    assert peer.call("sign", seed.hex(), message.hex()) == signature.hex()


@given(seeds, st.binary(min_size=1, max_size=40), st.integers(0, 511))
def test_a_flipped_bit_does_not_verify(peer, seed, message, bit):
    ours = SigningKey.from_seed(seed)
    signature = bytearray(ours.sign(message))
    signature[bit // 8] ^= 1 << bit % 8
    assert not keys.verify(ours.key, message, bytes(signature))
    assert not peer.call("verify", ours.key, message.hex(), signature.hex())
    assert not keys.verify(ours.key, message[:-1], ours.sign(message))


@pytest.mark.parametrize("wrong", ["", "short", "A" * 42, "A" * 44, "+" * 43, "A" * 42 + "B"])
def test_a_key_of_the_wrong_form_verifies_nothing(wrong, peer):
    assert not keys.verify(wrong, b"x", bytes(64))
    assert not peer.call("verify", wrong, "78", "00" * 64)


def test_a_signature_of_the_wrong_length_does_not_verify(peer):
    for signature in (b"", CONSOLE.sign(b"x")[:-1], CONSOLE.sign(b"x") + b"\0"):
        assert not keys.verify(CONSOLE.key, b"x", signature)
        assert not peer.call("verify", CONSOLE.key, "78", signature.hex())


def test_a_new_key_is_new():
    one, other = SigningKey.generate(), SigningKey.generate()
    assert one.key != other.key
    assert SigningKey.from_seed(one.seed).key == one.key


def test_a_seed_has_32_bytes():
    with pytest.raises(BadKey, match="32 bytes, got 31"):
        SigningKey.from_seed(bytes(31))


def test_messages_are_the_same_bytes_in_both_languages(peer):
    device, invitation = key(3).thumbprint, "ab" * 32
    ours = [
        keys.enrolment_message(device=device, invitation=invitation, workshop=WORKSHOP),
        keys.session_message(device=device, nonce="n0nce", workshop=WORKSHOP),
        keys.succession_message(key=key(2).key, workshop=WORKSHOP),
    ]
    assert ours[0].startswith(b'two-turns enrol\n{"device":"')
    assert ours[1].startswith(b'two-turns session\n{"device":"')
    assert ours[2].startswith(b'two-turns succession\n{"key":"')
    said = {"device": device, "invitation": invitation, "workshop": WORKSHOP}
    assert peer.call("messages", said, "n0nce", key(2).key) == [message.hex() for message in ours]


@given(st.binary(max_size=70))
def test_base64url_has_one_text_for_one_value(peer, data):
    text = base64url.encode(data)
    assert base64url.decode(text) == data
    assert peer.call("base64url", text) == data.hex()


@given(st.text(st.sampled_from("AQgwBZz09-_+/= \n\u00e9"), min_size=1, max_size=6))
def test_both_languages_take_the_same_base64url(peer, text):
    try:
        here = base64url.decode(text).hex()
    except BadKey as error:
        here = error.code
    try:
        there = peer.call("base64url", text)
    except PeerError as error:
        there = error.code
    assert here == there
    if here != "bad-key":
        assert base64url.encode(bytes.fromhex(here)) == text
