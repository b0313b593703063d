"""The entry line: what is signed is what is kept, and what is not an entry is refused by name."""

import hashlib
import random

import pytest

from ledger_entries import AT, CONSOLE, JOB, key, keyed, line_of, newer, said, sign
from ledger_vectors import vectors
from twoturns.ledger import base64url, canonical, entry
from twoturns.ledger.bodies import EDITION
from twoturns.ledger.errors import BadBody, BadEntry, BadKey, LedgerError, NotCanonical, TooLarge


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
    data = canonical.dumps(members)
    line = f"{base64url.encode(key(3).sign(data))} {data.decode()}"
    assert not entry.verify(entry.parse(line), key(3).key)


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
        ({"kind": 5}, BadEntry, "kind must be two names"),
        ({"kind": ""}, BadEntry, "kind must be two names"),
        ({"kind": "blessed"}, BadEntry, "kind must be two names"),
        ({"kind": "step." + "a" * 33}, BadEntry, "kind must be two names"),
        ({"body": []}, BadEntry, "body must be an object"),
        ({"body": {}}, BadBody, "step.begun: body.step: missing; expected a name"),
        ({"extra": 1}, BadEntry, "expected the members"),
    ],
)
def test_a_member_that_is_wrong_is_named(change, error, fact):
    members = said("step.begun", {"step": "locks_in"}) | change
    with pytest.raises(error) as caught:
        entry.parse(line_of(members, CONSOLE))
    assert fact in str(caught.value)
    assert caught.value.hint


def test_a_statement_names_no_job():
    with pytest.raises(BadEntry, match=r"workshop\.keyed is about no job"):
        entry.parse(line_of(said("workshop.keyed", dict(keyed().body), job=JOB), CONSOLE))


@pytest.mark.parametrize("job", [JOB, None])
def test_a_kind_we_do_not_know_is_kept_as_it_was_signed_and_not_judged(job):
    made = newer(key(3), "step.blessed", {"by": [{"whom": 1}]}, job=job)
    assert (made.kind, made.wire_kind, made.is_known) == (entry.UNREAD, "step.blessed", False)
    assert (made.job, made.edition) == (job, EDITION + 1)
    assert entry.verify(made, key(3).key)
    assert entry.parse(made.line) == made


def test_a_field_we_do_not_know_leaves_its_entry_unread_at_whatever_depth():
    ids = {"step": "a", "proof": ["ab" * 32]}
    passed = {"rule": "r", "because": {"blob": "cd" * 32}, "photo": "ab" * 32}
    assert newer(key(3), "step.done", {**ids, "passed": [passed]}).is_known
    for body in ({**ids, "colour": None}, {**ids, "passed": [passed, {**passed, "at": 1}]}):
        made = newer(key(3), "step.done", body)
        assert (made.kind, made.wire_kind, made.is_known) == (entry.UNREAD, "step.done", False)


def test_what_we_do_know_of_such_an_entry_is_as_it_must_be():
    with pytest.raises(BadBody, match=r"step\.done: body\.proof: missing"):
        newer(key(3), "step.done", {"step": "a", "colour": "red"})
    with pytest.raises(BadEntry, match=r"step\.done names a job"):
        newer(key(3), "step.done", {"step": "a", "proof": [], "colour": "red"}, job=None)


def test_an_entry_says_of_which_edition_a_program_must_be_to_read_it():
    assert keyed().edition == 1
    assert keyed(edition=2).edition == 2


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


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("step.begun", {"step": "Not A Name"}),
        ("step.begun", {"step": "a", "colour": "red"}),
        ("step.blessed", {}),
    ],
)
def test_what_could_not_be_read_is_not_signed(kind, body):
    with pytest.raises(LedgerError):
        sign(CONSOLE, kind, body)


VECTORS = vectors("editions")


@pytest.mark.parametrize("case", VECTORS["read"], ids=lambda case: case["says"])
def test_agrees_with_the_vectors_on_what_it_reads_and_what_it_leaves_unread(case):
    read = entry.parse(case["line"])
    assert (read.id, read.kind, read.wire_kind, read.job) == (
        case["id"],
        case["kind"],
        case["wire_kind"],
        case["job"],
    )
    assert read.edition == (case["edition"] or EDITION + 1)
    assert entry.verify(read, VECTORS["device_key"])


@pytest.mark.parametrize("case", VECTORS["refused"], ids=lambda case: case["says"])
def test_agrees_with_the_vectors_on_what_is_refused(case):
    with pytest.raises(LedgerError) as caught:
        entry.parse(case["line"])
    assert caught.value.code == case["code"]


ODD = '"\\{}[],:. -_0159azAZ\u00e9\ud800\n'
PIECES = ["null", '"v":1', '{"a":1}', "1.5", "-0", '"job":null', '"body":{}', f'"{JOB}"', "e\u0301"]


def test_a_line_is_read_by_its_form_as_it_is_read_piece_by_piece(monkeypatch):
    """By the other way of the two, on lines that were changed by chance."""
    chance, by_form = random.Random(20), entry._by_form
    whole = [keyed().line, newer(CONSOLE, "job.taken", {}).line]
    whole += [sign(key(3), "step.begun", {"step": "a"}, after=["ab" * 32, "cd" * 32]).line]
    whole += [sign(key(3), "note.added", {"text": {"blob": "ab" * 32}}, after=[]).line]
    lines = [*whole, *(changed(chance, chance.choice(whole)) for _ in range(6_000))]
    quick = [outcome(line) for line in lines]
    assert sum(by_form(line) is not None for line in lines if "\ud800" not in line) > 300
    monkeypatch.setattr(entry, "_by_form", lambda _: None)
    assert quick == [outcome(line) for line in lines]


def changed(chance: random.Random, line: str) -> str:
    for _ in range(chance.randrange(1, 3)):
        at = chance.randrange(len(line))
        end = at + chance.choice((0, 0, 1, 1, 2, 7))
        new = chance.choice(("", chance.choice(ODD), chance.choice(PIECES), line[at : at + 30]))
        line = line[:at] + new + line[end:]
    return line


def outcome(line: str) -> object:
    try:
        return entry.parse(line)
    except LedgerError as error:
        return type(error), str(error)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('"seq":1,', '"seq":9007199254740992,'),
        ('"after":[]', f'"after":["{"ab" * 32}","{"ab" * 32}"]'),
        ('"after":[]', f'"after":[{",".join(chr(34) + f"{n:064x}" + chr(34) for n in range(17))}]'),
        ('"step":"a"', f'"step":"a","x":{"[" * 15}{"]" * 15}'),
        ('"step":"a"', '"step":"a"},"body":{"step":"b"'),
        ('"step":"a"', '"step":"a"},"device":"x","kind":{"a":"b"'),
    ],
)
def test_what_only_a_look_at_each_piece_finds_is_found(old, new):
    line = sign(key(3), "step.begun", {"step": "a"}, seq=1, after=[]).line
    assert old in line
    with pytest.raises(LedgerError):
        entry.parse(line.replace(old, new))
