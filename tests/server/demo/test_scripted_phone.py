"""Scripted work is what a phone would write: it folds to a finished job, also after a failure."""

import os

import pytest

from bags import located_photo
from twoturns.demo.scripted_phone import ScriptedPhone, Work, usual_value
from twoturns.demo.workshop import scripts_folder
from twoturns.ledger.keys import SigningKey
from twoturns.procedure.compile.bundle import load
from workshop import NOON, tiny_bundle, uuid7

TOOLS = [
    {"tool": "TW-1", "type": "torque_wrench", "low": "5", "high": "50"},
    {"tool": "TW-2", "type": "torque_wrench", "low": "10", "high": "100"},
    {"tool": "TW-3", "type": "torque_wrench", "low": "40", "high": "200"},
]
VEHICLE = {"vin": "V", "plate": "P", "odometer_km": 1, "engine_code": "QL-19D4", "bay": "2"}


@pytest.fixture(scope="module")
def van():
    return load(scripts_folder() / "van-timing-drive")


def work_on(bundle):
    key = SigningKey.generate()
    phone = ScriptedPhone(key, key.thumbprint, uuid7(), NOON, os.urandom)
    work = Work(bundle.bundle, uuid7(), located_photo, tools=TOOLS)
    work.open(phone, bundle.sha256, VEHICLE)
    return work, phone


def done_in_order(work):
    return [one.body["step"] for one in work.log if one.kind == "step.done"]


def test_a_whole_job_is_done_in_the_listed_order_and_nothing_is_odd_about_it(van):
    work, phone = work_on(van)
    work.run(phone)
    assert done_in_order(work) == [s["id"] for s in van.bundle["steps"] if s["must"]]
    state = work.state()
    assert (state.exceptions, state.tools_out, state.questions) == ([], [], [])
    assert [one.seq for one in work.log] == list(range(1, len(work.log) + 1))
    assert all(
        one.after == (before.id,) for before, one in zip(work.log, work.log[1:], strict=False)
    )


def test_a_torque_is_read_with_a_wrench_that_is_in_hand_and_reaches_it(van):
    work, phone = work_on(van)
    work.run(phone)
    read = {
        one.body["name"]: one.body["tool"]
        for one in work.log
        if one.kind == "reading.taken" and one.body["unit"] == "N·m"
    }
    assert (read["pump_torque"], read["damper_torque"]) == ("TW-1", "TW-2")
    assert (read["nut_torque"], read["wheel_torque"]) == ("TW-2", "TW-3")


def test_after_a_failure_the_way_back_is_taken_and_the_job_ends(van):
    work, phone = work_on(van)
    work.run(phone, until="pins_again")
    work.fail(phone, "pins_again", "pointer_out", values={"pointer_after": "beside"})
    before = len(done_in_order(work))
    work.run(phone)
    again = done_in_order(work)[before:]
    assert again[:2] == ["nut_to_hand", "slot_bolts_loose"]
    assert again[2:9] == [
        "set_pointer", "tighten_nut", "tighten_slots", "pins_out", "two_turns", "pins_again",
        "prove_timing",
    ]  # fmt: skip
    assert [flag.code for flag in work.state().exceptions] == ["failed"]


def test_what_a_failure_leaves_open_is_looked_at_first():
    work, phone = work_on(tiny_bundle())
    work.run(phone, until="belt_off")
    work.fail(phone, "belt_off", "nut_seized")
    with pytest.raises(ValueError, match="look at 'belt' first"):
        work.next_step()
    work.look(phone, {"belt": "old"})
    assert work.next_step() == "belt_off"
    work.run(phone)
    assert work.state().steps.count("todo") == 1  # the way back, which always is


def test_a_reading_outside_its_limits_leaves_the_step_to_do():
    work, phone = work_on(tiny_bundle())
    work.run(phone, until="two_turns")
    work.do(phone, "two_turns", values={"turned": "700"})
    assert work.next_step() != "sign"
    assert "outside-limits" in {flag.code for flag in work.state().exceptions}


@pytest.mark.parametrize(
    ("proof", "value"),
    [
        ({"kind": "reading", "low": "24.96", "high": "27.04"}, "26.00"),
        ({"kind": "reading", "low": "-2", "high": "2", "target": "0"}, "0"),
        ({"kind": "reading", "low": "715", "high": "725.0"}, "720.0"),
        ({"kind": "wait", "low": "10"}, "10"),
        ({"kind": "count", "target": "72"}, "72"),
        (
            {
                "kind": "choice",
                "options": [{"id": "hard", "ok": False}, {"id": "free", "ok": True}],
            },
            "free",
        ),
    ],
)
def test_the_usual_value_is_one_the_proof_is_content_with(proof, value):
    assert usual_value(proof) == value
