"""The signed note: the published example, and that only the pinned key's word is taken."""

import base64

import pytest

from ledger_entries import CONSOLE, WORKSHOP, key
from ledger_vectors import vectors
from peer import PeerError
from twoturns.ledger import base64url, checkpoint, keys, note
from twoturns.ledger.errors import BadCheckpoint

NOTE = vectors("published")["signed_note"]
ROOT = bytes(range(32))
GOOD = checkpoint.sign(CONSOLE, WORKSHOP, 12, ROOT)


def test_the_published_note_has_our_key_id_and_its_signature_is_ours_too():
    name, key_id, encoded = NOTE["vkey"].split("+", 2)
    public = base64.b64decode(encoded)
    seed = base64.b64decode(NOTE["skey"].split("+", 4)[4])
    assert public[:1] == seed[:1] == b"\x01"  # Ed25519
    ours = keys.SigningKey.from_seed(seed[1:])
    assert base64url.decode(ours.key) == public[1:]
    assert note.key_id(name, ours.key).hex() == key_id
    signed = bytes.fromhex(key_id) + ours.sign(NOTE["text"].encode())
    assert base64.b64encode(signed).decode() == NOTE["sig"]


def test_the_text_is_that_of_c2sp():
    lines = GOOD.split("\n")
    assert lines[:4] == [f"two-turns/{WORKSHOP}", "12", base64.b64encode(ROOT).decode(), ""]
    assert lines[4].startswith(f"\u2014 two-turns/{WORKSHOP} ")
    assert lines[5:] == [""]


def test_opens_in_both_languages(peer):
    opened = checkpoint.open(GOOD, CONSOLE.key, WORKSHOP)
    assert (opened.size, opened.root) == (12, ROOT)
    assert peer.call("openCheckpoint", GOOD, CONSOLE.key, WORKSHOP) == [12, ROOT.hex()]
    empty = checkpoint.sign(CONSOLE, WORKSHOP, 0, ROOT)
    assert checkpoint.open(empty, CONSOLE.key, WORKSHOP).size == 0
    assert peer.call("openCheckpoint", empty, CONSOLE.key, WORKSHOP) == [0, ROOT.hex()]


def test_signatures_of_witnesses_may_stand_beside_ours(peer):
    witness = "\u2014 witness.example d2l0bmVzcw==\n"
    head, _, ours = GOOD.rpartition("\n\n")
    for text in (GOOD + witness, f"{head}\n\n{witness}{ours}"):
        assert checkpoint.open(text, CONSOLE.key, WORKSHOP).size == 12
        assert peer.call("openCheckpoint", text, CONSOLE.key, WORKSHOP) == [12, ROOT.hex()]


OTHER = checkpoint.sign(key(9), WORKSHOP, 12, ROOT)


@pytest.mark.parametrize(
    ("text", "fact"),
    [
        ("", "not a checkpoint"),
        ("<html>log in to the wireless network</html>", "not a checkpoint"),
        (GOOD.replace("\n12\n", "\n13\n"), "did not sign"),
        (GOOD.replace("\n12\n", "\n012\n"), "not a checkpoint"),
        (GOOD.replace("\n12\n", "\n-12\n"), "not a checkpoint"),
        (GOOD.replace("\n12\n", "\n12\nextra\n"), "not a checkpoint"),
        (GOOD.replace("AAECAw", "AAECBA"), "did not sign"),
        (GOOD.replace("two-turns/", "two-turns-/"), "the checkpoint is of"),
        (GOOD.replace("\u2014", "-"), "did not sign"),
        (GOOD[:-1], "did not sign"),
        (GOOD.split("\n\n")[0] + "\n\n", "did not sign"),
        (GOOD.split("\n\n")[0] + "\n", "not a checkpoint"),
        (GOOD.replace("\n", "\r\n"), "not a checkpoint"),
        (OTHER, "did not sign"),
    ],
)
def test_what_the_pinned_key_did_not_sign_is_refused_in_both_languages(text, fact, peer):
    with pytest.raises(BadCheckpoint, match=fact) as caught:
        checkpoint.open(text, CONSOLE.key, WORKSHOP)
    assert "fingerprint" in caught.value.hint
    with pytest.raises(PeerError, match=fact) as there:
        peer.call("openCheckpoint", text, CONSOLE.key, WORKSHOP)
    assert there.value.code == caught.value.code == "bad-checkpoint"


def test_a_key_id_of_ours_before_a_signature_of_another_is_refused(peer):
    body = GOOD.split("\n\n")[0] + "\n"
    origin = checkpoint.origin_of(WORKSHOP)
    forged = note.key_id(origin, CONSOLE.key) + key(9).sign(body.encode())
    text = f"{body}\n\u2014 {origin} {base64.b64encode(forged).decode()}\n"
    with pytest.raises(BadCheckpoint, match="did not sign"):
        checkpoint.open(text, CONSOLE.key, WORKSHOP)
    with pytest.raises(PeerError, match="did not sign"):
        peer.call("openCheckpoint", text, CONSOLE.key, WORKSHOP)


def test_a_checkpoint_of_another_workshop_is_refused():
    foreign = checkpoint.sign(CONSOLE, key(9).thumbprint, 12, ROOT)
    with pytest.raises(BadCheckpoint, match="the checkpoint is of"):
        checkpoint.open(foreign, CONSOLE.key, WORKSHOP)
