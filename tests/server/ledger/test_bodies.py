"""Bodies: what each kind takes, who may write it, and that the phone comes to the same verdict."""

import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from marshmallow import fields

from ledger_entries import ANNA, AT, CONSOLE
from peer import PeerError
from twoturns.ledger import bodies, types
from twoturns.ledger.bodies import (
    BODIES,
    EDITION,
    JOB_KINDS,
    SINCE,
    WORKSHOP_KINDS,
    check_body,
    may_write,
)
from twoturns.ledger.bodies_of_workshops import ROLES
from twoturns.ledger.compiled import compiled
from twoturns.ledger.errors import BadBody
from twoturns.ledger.fields import BodySchema

ROOT = Path(__file__).resolve().parents[3]
ID, REF = "ab" * 32, {"blob": "cd" * 32}
SIGNATURE = "A" * 86
TOOL = {
    "tool": "T-7",
    "type": "torque_wrench",
    "label": "x",
    "low": "5",
    "high": "50",
    "unit": "N·m",
    "accuracy": "class A",
}
FILE = {"blob": "ef" * 32, "size": 1, "type": "image/png"}

GOOD = {
    "job.opened": {
        "bundle": ID,
        "vin": REF,
        "plate": REF,
        "odometer_km": 0,
        "engine_code": "K2",
        "bay": "2",
        "customer": REF,
        "phone": REF,
        "odometer_unit": "mi",
    },
    "enquiry.taken": {
        "customer": REF,
        "phone": REF,
        "plate": REF,
        "vin": REF,
        "engine_code": "K2",
        "odometer_km": 88_650,
        "odometer_unit": "mi",
        "noticed": ["rattle_cold"],
        "words": REF,
        "fitted_on": "2020-05-01",
        "fitted_km": 60_000,
        "interval_km": 90_000,
        "interval_months": 60,
        "severe_percent": 50,
        "due": "overdue",
        "due_on": "2022-11-01",
        "due_km": 105_000,
        "triage": [{"ask": "runs", "said": "yes"}],
        "advice": "workshop",
        "because": ["timing_belt"],
        "told": [],
        "warning": REF,
        "confirmed": ["other_customer"],
    },
    "enquiry.declined": {"enquiry": ID, "how": "call", "words": REF},
    "job.taken": {},
    "tool.out": {"tool": "crank_pin", "id": "T-7"},
    "tool.in": {"tool": "crank_pin"},
    "tool.lost": {"tool": "crank_pin", "because": REF},
    "part.fitted": {
        "step": "a",
        "name": "lot",
        "part": "belt",
        "lot": "L1",
        "serial": "5",
        "code": "10L1\x1d215",
    },
    "step.begun": {"step": "a"},
    "step.done": {
        "step": "a",
        "proof": [ID],
        "passed": [{"rule": "r", "because": REF, "photo": ID}],
    },
    "step.failed": {"step": "a", "failure": "f", "proof": [], "words": REF},
    "step.reopened": {"step": "a", "because": REF},
    "condition.seen": {"condition": "nut", "value": "hand"},
    "reading.taken": {
        "step": "a",
        "name": "span",
        "value": "81.50",
        "unit": "Hz",
        "low": "78",
        "high": "-0.5",
        "tool": "T-7",
        "photo": ID,
        "adaptor": {"wrench_mm": 400, "adaptor_mm": 50, "angle_deg": 0},
        "by": "pluck",
        "saw": [{"blob": ID, "size": 812, "type": "application/json"}],
    },
    "reading.corrected": {"of": ID, "value": "81", "because": REF},
    "photo.taken": {
        "step": "a",
        "name": "marks",
        "blob": ID,
        "size": 1,
        "type": "image/heic",
        "width": 0,
        "height": 0,
        "how": "picked",
        "quality": {"sharp_tenths": 342, "mean": 118, "blown_permille": 3},
    },
    "note.added": {"step": "a", "name": "n", "text": REF, "photo": ID},
    "review.returned": {"step": "a", "question": REF, "photo": ID},
    "review.answered": {"question": ID, "photo": ID},
    "review.gap": {"step": "a", "because": REF, "question": ID},
    "review.approved": {},
    "recall.borne": {"recall": ID, "parts": [ID], "because": REF},
    "recall.followed": {"of": ID, "how": "told", "words": REF},
    "finding.noted": {"step": "a", "name": "traces", "value": "oil", "failure": "f"}
    | {"photo": ID},
    "finding.answered": {"finding": ID, "answer": "yes", "how": "call", "extras": [ID]}
    | {"words": REF, "signature": REF},
    "finding.settled": {"finding": ID, "how": "done", "words": REF, "photo": ID},
    "extra.added": {"finding": ID, "what": REF, "part": "seal", "minutes": 40},
    "extra.done": {"extra": ID, "value": "9.5", "unit": "mm"},
    "job.planned": {"promised": AT},
    "job.parked": {"why": "part", "part": "seal", "words": REF},
    "job.resumed": {},
    "job.closed": {"end": "finished", "because": REF},
    "page.shared": {
        "token": ID,
        "until": AT,
        "rows": [
            {"under": "u", "name": "n", "says": "s"},
            {"under": "u", "name": "n", "value": REF},
        ],
        "photos": [{"photo": ID, "label": "l"}],
        "bag": "copies",
    },
    "page.ended": {"page": ID},
    "workshop.keyed": {
        "key": CONSOLE.key,
        "name": "Riverside Belts",
        "signed_by": {"key": CONSOLE.key, "signature": SIGNATURE},
        "edition": 2,
    },
    "device.invited": {"key": CONSOLE.key, "role": "owner", "person": ANNA, "until": AT}
    | {"scope": {"jobs": [ANNA], "days": ["2026-01-01"] * 2, "values": ["vin"], "end": AT}},
    "device.enrolled": {"key": CONSOLE.key, "invitation": ID, "countersign": SIGNATURE},
    "device.revoked": {"device": CONSOLE.thumbprint, "because": "lost"},
    "person.named": {"person": ANNA, "name": REF},
    "bundle.published": {"bundle": ID, "name": "x", "edition": 1, "engine_codes": ["K2"]},
    "bundle.withdrawn": {"bundle": ID, "because": "x"},
    "tool.registered": TOOL,
    "tool.corrected": TOOL | {"because": "x"},
    "tool.retired": {"tool": "T-7", "because": "fell"},
    "tool.calibrated": {
        "tool": "T-7",
        "on": "2026-01-01",
        "due": "2027-01-01",
        "certificate": "c",
        "document": {"blob": ID, "size": 1, "type": "application/pdf"},
    },
    "tool.checked": {
        "tool": "T-7",
        "on": "2026-01-01",
        "unit": "N·m",
        "points": [{"nominal": "20", "found": "18.2", "direction": "clockwise"}],
        "allowed_percent": "4",
        "allowed": "0.5",
        "certificate": "c",
        "until": "2026-02-01",
    },
    "lot.recalled": {"lot": "L1", "because": "x", "until": "2026-02-01"},
    "set.registered": {
        "set": "S-1",
        "type": "locking_set",
        "label": "x",
        "engine_codes": ["K2"],
        "pieces": [{"piece": "pin", "says": "long", "picture": FILE}],
        "picture": FILE,
    },
    "set.retired": {"set": "S-1", "because": "lost"},
    "permit.given": {
        "person": ANNA,
        "permit": "high_voltage",
        "on": "2026-01-01",
        "until": "2028-12-31",
        "document": FILE,
    },
    "permit.ended": {"permit": ID, "because": "left"},
    "device.named": {"device": CONSOLE.thumbprint, "name": REF},
    "notice.settled": {"notice": "tool-not-calibrated", "about": "T-7", "because": REF},
    "work.accepted": {"entries": [ID], "because": "x"},
    "work.refused": {"entries": [ID], "because": "x"},
    "device.serves": {"device": CONSOLE.thumbprint, "persons": [ANNA]},
    "device.shut": {"device": CONSOLE.thumbprint, "because": "x"},
    "blob.kept": {"blobs": [{"blob": ID, "size": 0}]},
    "blob.erased": {"blob": ID, "reason": "asked", "basis": "b"},
    "erasure.ordered": {"blobs": [ID], "reason": "asked", "basis": "b"},
    "erasure.withdrawn": {"order": ID, "because": "a mistake"},
    "erasure.hastened": {"order": ID, "because": "a court"},
    "erasure.ruled": {"delay_days": 7, "blobs_a_day": 500},
    "backup.made": {"size": 0},
    "backup.outside": {"size": 3, "until": AT},
    "retention.set": {"days": 1},
    "rules.began": {"edition": 2},
    "recovery.committed": {"recovery": CONSOLE.thumbprint},
    "audit.frozen": {
        "size": 5,
        "root": ID,
        "filter": {
            "days": ["2026-01-01", "2026-06-30"],
            "person": ANNA,
            "bundle": ID,
            "engine_code": "K2",
            "exception": "out-of-order",
            "tool": "W7",
            "lot": "L1",
        },
        "jobs": [ANNA],
    },
    "audit.drawn": {"freeze": ID, "word": "heron", "count": 1},
    "audit.found": {"about": ANNA, "step": "a", "freeze": ID, "text": REF},
    "audit.answered": {"finding": ID, "about": ANNA, "text": REF},
    "audit.closed": {"finding": ID, "about": ANNA, "text": REF},
}


def test_every_kind_has_an_example_here_and_a_row_in_the_contract():
    assert GOOD.keys() == BODIES.keys()
    contract = (ROOT / "server/docs/formats.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| (`[a-z]+\.[a-z]+`(?:, `[a-z]+\.[a-z]+`)*) \|", contract, re.MULTILINE)
    assert {kind for row in rows for kind in re.findall(r"`([^`]+)`", row)} == BODIES.keys()


@pytest.mark.parametrize("kind", BODIES)
def test_the_example_is_taken_and_each_member_is_needed_or_optional(kind):
    check_body(kind, GOOD[kind])
    fields = BODIES[kind]().fields
    assert fields.keys() >= GOOD[kind].keys()
    for name in GOOD[kind]:
        rest = {key: value for key, value in GOOD[kind].items() if key != name}
        if fields[name].required or name in BODIES[kind].any_of:
            with pytest.raises(BadBody, match=r"body\.\w+: missing; expected"):
                check_body(kind, rest)
        else:
            check_body(kind, rest)


@pytest.mark.parametrize("kind", BODIES)
def test_an_unknown_field_is_of_a_later_edition_and_a_null_is_refused_by_name(kind):
    assert check_body(kind, GOOD[kind] | {"colour": "red"}) == EDITION + 1
    for name in GOOD[kind]:
        with pytest.raises(BadBody, match=rf"body\.{name}: expected"):
            check_body(kind, GOOD[kind] | {name: None})


def test_a_kind_or_a_field_of_a_later_edition_is_told_from_the_first_ones():
    """What an app of the first edition can read is what it could read when it was built."""
    assert set(SINCE) <= BODIES.keys()
    of_the_first = {
        kind: {name: value for name, value in body.items() if name not in BODIES[kind].since}
        for kind, body in GOOD.items()
        if kind not in SINCE
    }
    assert {check_body(kind, body) for kind, body in of_the_first.items()} == {1}
    for kind, edition in SINCE.items():
        assert check_body(kind, GOOD[kind]) >= edition > 1
    for kind, schema in BODIES.items():
        for name, edition in schema.since.items():
            assert not schema().fields[name].required, (kind, name)
            assert check_body(kind, GOOD[kind]) >= edition > 1


@pytest.mark.parametrize(
    ("kind", "change", "fact"),
    [
        ("step.begun", {"step": "Lock in"}, "body.step: expected a name"),
        ("step.begun", {"step": "a" * 65}, "body.step: expected a name"),
        ("step.begun", {"step": "a\n"}, "body.step: expected a name"),
        ("step.done", {"proof": [ID, "x"]}, "body.proof.1: expected an entry's id"),
        ("step.done", {"passed": []}, "body.passed: expected a list of 1 to 20"),
        ("step.done", {"passed": [{"rule": "r", "because": REF}]}, "body.passed.0.photo: missing"),
        ("step.done", {"proof": "x"}, "body.proof: expected a list of 0 to 100"),
        ("job.opened", {"vin": ID}, "body.vin: expected an object"),
        ("job.opened", {"vin": {"blob": "x"}}, "body.vin.blob: expected a SHA-256"),
        ("job.opened", {"odometer_km": -1}, "body.odometer_km: expected a whole number from 0"),
        ("job.opened", {"odometer_km": True}, "body.odometer_km: expected a whole number"),
        ("job.opened", {"odometer_km": "12"}, "body.odometer_km: expected a whole number"),
        ("job.opened", {"bay": ""}, "body.bay: expected text of 1 to 64"),
        ("job.opened", {"bay": "x" * 65}, "body.bay: expected text of 1 to 64"),
        ("reading.taken", {"low": "1."}, 'body.low: expected a decimal in a string, as "26.50"'),
        ("reading.taken", {"low": "01"}, "body.low: expected a decimal"),
        ("reading.taken", {"low": "1e3"}, "body.low: expected a decimal"),
        ("reading.taken", {"low": 5}, "body.low: expected a decimal"),
        ("photo.taken", {"type": "image/svg+xml"}, "body.type: expected one of image/jpeg"),
        ("photo.taken", {"how": "screenshot"}, "body.how: expected one of live, picked"),
        ("device.invited", {"role": "console"}, "body.role: expected one of owner, mechanic"),
        ("device.invited", {"person": "console"}, "body.person: expected a UUID of version 7"),
        ("tool.calibrated", {"due": "2027-1-1"}, "body.due: expected a day"),
        ("backup.outside", {"until": "tomorrow"}, "body.until: expected a time"),
    ],
)
def test_what_is_wrong_is_named_with_what_was_expected(kind, change, fact):
    with pytest.raises(BadBody) as caught:
        check_body(kind, GOOD[kind] | change)
    assert fact in str(caught.value)
    assert caught.value.code == "bad-body"


def test_an_answer_needs_words_or_a_photo():
    with pytest.raises(BadBody, match=r"body\.words: missing; expected words or photo"):
        check_body("review.answered", {"question": ID})
    check_body("review.answered", {"question": ID, "words": REF, "photo": ID})


@pytest.mark.parametrize("body", [None, [], "x", 5])
def test_a_body_that_is_no_object_is_refused(body):
    with pytest.raises(BadBody, match="body: expected an object"):
        check_body("job.taken", body)


def test_rights_are_those_of_the_contract():
    owner_not = {"workshop.keyed", "blob.kept", "backup.made", "rules.began", "recovery.committed"}
    mechanic_not = {"review.returned", "review.gap", "review.approved", "recall.borne"}
    auditors = {"audit.frozen", "audit.drawn", "audit.found", "audit.closed"}
    owner_not |= auditors
    mechanic_not |= {"recall.followed", "notice.settled"}
    for kind in BODIES:
        assert may_write("console", kind) == (kind in WORKSHOP_KINDS - auditors)
        assert may_write("owner", kind) == (kind not in owner_not | {"blob.erased"})
        assert may_write("owner", kind, 1) == (kind not in owner_not)
        mechanic = kind in JOB_KINDS and kind not in mechanic_not
        assert may_write("mechanic", kind) == (mechanic or kind == "device.enrolled")
        auditor = kind in auditors | {"note.added", "device.enrolled"}
        assert may_write("auditor", kind) == auditor


def test_a_kind_that_we_do_not_know_is_not_held_against_its_writer():
    assert all(may_write(role, "step.blessed") for role in (*ROLES, "console"))


def test_the_phones_types_are_what_the_schemas_give():
    """If this fails: python -m twoturns.ledger.types, in server/."""
    assert types.FILE == ROOT / "client" / "src" / "ledger" / "bodies.ts"
    assert types.FILE.read_text(encoding="utf-8") == types.source()


JUNK = st.sampled_from(
    [
        *(None, True, "", "x", "a", "A", "é" * 64, "é" * 65, "😀" * 64, "1.5", "-0", -1, 0, 1, 1.5),
        *([], {}, [ID], ["x"], ID, ID.upper(), REF, {"blob": ID, "more": 1}, AT, "a\n"),
    ]
)


def reads(kind, body):
    """Whether we know all that a body says; None: it is refused."""
    try:
        return check_body(kind, body) <= EDITION
    except BadBody:
        return None


@given(st.sampled_from(sorted(GOOD)), st.data())
def test_the_phone_comes_to_the_same_verdict(peer, kind, data):
    body = dict(GOOD[kind])
    for _ in range(data.draw(st.integers(0, 2))):
        names = [*sorted(BODIES[kind]().fields), "colour", "constructor", "__proto__"]
        name = data.draw(st.sampled_from(names))
        if data.draw(st.booleans()):
            body[name] = data.draw(JUNK)
        else:
            body.pop(name, None)
    (there,) = peer.calls("checkBody", [[kind, body]])
    if isinstance(there, PeerError):
        assert there.code == "bad-body"
        there = None
    assert reads(kind, body) is there


def spoiled(draw, value):
    """Change a value somewhere: at its top, or deep in it."""
    if value and isinstance(value, list | dict) and draw(st.integers(0, 3)):
        changed = value.copy()
        keys = [*range(len(value))] if isinstance(value, list) else [*sorted(value), "colour"]
        key = draw(st.sampled_from(keys))
        if isinstance(value, dict) and (key not in value or draw(st.booleans())):
            changed.pop(key, None) if draw(st.booleans()) else changed.update({key: draw(JUNK)})
        elif isinstance(value, list) and draw(st.booleans()):
            changed *= draw(st.sampled_from([0, 2, 21, 101]))
        else:
            changed[key] = spoiled(draw, value[key])
        return changed
    return draw(JUNK)


@settings(max_examples=1_000)
@given(st.sampled_from(sorted(GOOD)), st.data())
def test_the_compiled_check_and_marshmallow_come_to_the_same_verdict(kind, data):
    body = GOOD[kind]
    for _ in range(data.draw(st.integers(0, 3))):
        body = spoiled(data.draw, body)
    try:
        by_schema = bodies._edition_by_schema(kind, body)
    except BadBody:
        by_schema = 0
    assert bodies._CHECKS[kind](body) == by_schema


@pytest.mark.parametrize("kind", BODIES)
def test_marshmallow_is_not_asked_about_what_is_right(kind, monkeypatch):
    monkeypatch.setattr(bodies, "_SCHEMAS", {})
    assert check_body(kind, GOOD[kind]) <= EDITION


def test_a_sort_of_field_that_is_not_compiled_is_told_of_at_once():
    class Odd(BodySchema):
        size = fields.Float()

    with pytest.raises(TypeError, match="no check of a field"):
        compiled(Odd(), EDITION + 1)


def test_an_unknown_kind_is_left_unread_in_both_languages(peer):
    for kind in ("step.blessed", "constructor", "__proto__", ""):
        assert reads(kind, {}) is False
        assert peer.call("checkBody", kind, {}) is False
