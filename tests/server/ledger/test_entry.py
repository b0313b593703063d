"""The entry line: what is signed is what is kept, and what is not an entry is refused by name."""

import hashlib

import pytest

from ledger_entries import AT, CONSOLE, JOB, key, keyed, said, sign
from twoturns.ledger import base64url, canonical, entry
from twoturns.ledger.errors import BadBody, BadEntry, BadKey, LedgerError, NotCanonical, TooLarge


def line_of(members, by=CONSOLE, data=None):
    """A line with a right signature over whatever it is given."""
    data = data or canonical.dumps({"v": 1, "device": by.thumbprint, **members})
    return f"{base64url.encode(by.sign(data))} {data.decode()}"


def test_what_was_signed_reads_back_and_verifies():
    made = sign(key(3), "step.begun", {"step": "locks_in"}, seq=7, after=["ab" * 32])
    read = entry.parse(made.line)
    assert read == made
    assert (read.seq, read.after, read.kind, read.body) == (
        7,
        ("ab" * 32,),
        "step.begun",
        {"step": "locks_in"},
    )
    assert read.id == hashlib.sha256(made.line.partition(" ")[2].encode()).hexdigest()
    assert entry.verify(read, key(3).key)


def test_another_key_a_changed_byte_and_a_changed_signature_do_not_verify():
    made = sign(key(3), "step.begun", {"step": "locks_in"})
    assert not entry.verify(made, key(4).key)
    assert not entry.verify(made, "nonsense")
    changed = entry.parse(made.line.replace("locks_in", "locks_on"))
    assert not entry.verify(changed, key(3).key)
    first = "B" if made.line[0] == "A" else "A"
    assert not entry.verify(entry.parse(first + made.line[1:]), key(3).key)


def test_a_signature_by_a_key_the_entry_does_not_name_does_not_verify():
    members = said("step.begun", {"step": "a"}) | {"v": 1, "device": key(4).thumbprint}
    assert not entry.verify(entry.parse(line_of(members, by=key(3))), key(3).key)


def test_a_nonsense_clock_is_kept():
    assert sign(CONSOLE, "job.taken", at="9999-99-99T99:99:99.999Z").at.startswith("9999-99")


@pytest.mark.parametrize(
    ("change", "error", "fact"),
    [
        ({"v": 2}, BadEntry, "v must be 1, got 2"),
        ({"workshop": "short"}, BadEntry, "workshop must be a workshop id"),
        ({"job": "x"}, BadEntry, "job must be null for a workshop's statement"),
        ({"job": None}, BadEntry, "step.begun names a job, got None"),
        ({"job": JOB.replace("-7", "-4")}, BadEntry, "job must be"),
        ({"person": "Anna"}, BadEntry, 'person must be a UUID of version 7, or "console"'),
        ({"seq": 0}, BadEntry, "seq must be a whole number from 1 up, got 0"),
        ({"seq": True}, BadEntry, "seq must be"),
        ({"seq": "1"}, BadEntry, "seq must be"),
        ({"after": ["ab" * 32] * 2}, BadEntry, "none twice"),
        ({"after": [f"{n:064x}" for n in range(17)]}, BadEntry, "at most 16"),
        ({"after": [1]}, BadEntry, "after must be"),
        ({"at": AT.replace(".123", "")}, BadEntry, "at must be a time"),
        ({"at": AT + "\n"}, BadEntry, "at must be a time"),
        ({"kind": 5}, BadEntry, "kind must be text"),
        ({"kind": "step.blessed"}, BadBody, "'step.blessed' is no kind we know"),
        ({"body": []}, BadEntry, "body must be an object"),
        ({"body": {}}, BadBody, "step.begun: body.step: missing; expected a name"),
        ({"extra": 1}, BadEntry, "expected the members"),
    ],
)
def test_a_member_that_is_wrong_is_named(change, error, fact):
    members = said("step.begun", {"step": "locks_in"}) | change
    with pytest.raises(error) as caught:
        entry.parse(line_of(members))
    assert fact in str(caught.value)
    assert caught.value.hint


def test_a_statement_names_no_job():
    with pytest.raises(BadEntry, match=r"workshop\.keyed is about no job"):
        entry.parse(line_of(said("workshop.keyed", dict(keyed().body), job=JOB)))


def test_lines_that_are_not_lines():
    good = keyed().line
    signature, _, text = good.partition(" ")
    for line, error in [
        ("", BadEntry),
        (good.replace(" ", ""), BadEntry),
        (f"{signature}A {text}", BadKey),
        (f"{signature}== {text}", BadKey),
        (f"{signature}  {text}", NotCanonical),
        (f"{good}\n", NotCanonical),
        (f"{signature} [1,2]", BadEntry),
        (f"{signature} {text[:-1]}\ud800", BadEntry),
    ]:
        with pytest.raises(error):
            entry.parse(line)


def test_64_kib_is_the_limit_to_the_byte():
    ids = [f"{n:064x}" for n in range(900)]
    whole = sign(CONSOLE, "work.accepted", {"entries": ids, "because": "x"}, person="console")
    room = entry.MAX_LINE_BYTES - len(whole.line)
    assert room > 0
    signature, _, text = whole.line.partition(" ")
    with pytest.raises(NotCanonical):
        entry.parse(f"{signature} {text}{' ' * room}")
    with pytest.raises(TooLarge, match="65537 bytes, at most 65536"):
        entry.parse(f"{signature} {text}{' ' * (room + 1)}")


def test_what_could_not_be_read_is_not_signed():
    with pytest.raises(LedgerError):
        sign(CONSOLE, "step.begun", {"step": "Not A Name"})
