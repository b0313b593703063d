"""
The van's procedure: its figures agree, its order is safe, every state has a way out.

Its words and its straight run are tested with those of the others in `test_demos`; what one phone
can reach beyond that and a first failure is walked in `test_prove`.
"""

from decimal import Decimal

import pytest

from demo_procedures import (
    VAN,
    bundle_of,
    proofs,
    rules_broken_in_order,
    straight_run,
    text_of,
    walker_of,
    way_after,
    without_needs_and_failures,
)
from twoturns.procedure.compile import compile_source
from twoturns.procedure.schema import PROOF_KINDS

BUNDLE = bundle_of(VAN)


def test_every_kind_of_proof_is_used():
    assert {proof["kind"] for _, proof in proofs(BUNDLE)} == set(PROOF_KINDS)


# Figures


def test_every_torque_is_proved_within_what_its_wrench_may_be_off():
    # ISO 6789: a wrench above 10 N·m may be 4 % off (from memory).
    measured = 0
    for step, proof in proofs(BUNDLE):
        if proof.get("tool") != "torque_wrench":
            continue
        measured += 1
        target = Decimal(proof["target"])
        assert step["torque"]["nm"] == proof["target"], step["id"]
        assert Decimal(proof["low"]) == target * Decimal("0.96"), step["id"]
        assert Decimal(proof["high"]) == target * Decimal("1.04"), step["id"]
        assert proof["unit"] == "N·m"
    assert measured == 8


def test_every_angle_of_a_stretch_bolt_is_proved():
    for step in BUNDLE["steps"]:
        if "angle_deg" in step.get("torque", {}):
            (angle,) = [p for p in step["proof"] if p.get("target") == step["torque"]["angle_deg"]]
            assert Decimal(angle["high"]) - Decimal(angle["low"]) == 6
            assert any(p["kind"] in ("count", "photo") for p in step["proof"]), "that it is new"


def test_the_belts_note_is_the_one_of_the_drawing():
    span = BUNDLE["drive"]["span"]
    (note,) = [proof for _, proof in proofs(BUNDLE) if proof.get("unit") == "Hz"]
    assert (note["low"], note["high"]) == (span["low_hz"], span["high_hz"])
    assert note["target"] == span["target_hz"]


def test_the_teeth_counted_are_those_of_the_drawing():
    counted = {
        proof["target"]
        for step, proof in proofs(BUNDLE)
        if step["id"] == "belt_on" and "target" in proof
    }
    assert counted == {str(count["teeth"]) for count in BUNDLE["drive"]["counts"]}
    (belt,) = [proof for _, proof in proofs(BUNDLE) if proof["name"] == "belt_teeth"]
    assert belt["target"] == str(BUNDLE["drive"]["belt"]["teeth"])


def test_new_fasteners_of_the_kit_are_all_counted():
    once = [part for part in BUNDLE["kit"] if part["single_use"]]
    (counted,) = [proof for _, proof in proofs(BUNDLE) if proof["name"] == "new_fasteners"]
    assert (counted["of"], counted["target"]) == ("single_use", str(sum(p["count"] for p in once)))


def test_every_tool_is_counted_back():
    counts = [
        p for _, p in proofs(BUNDLE) if p["name"] in ("tools_out", "tools_counted", "tools_back")
    ]
    assert [count["target"] for count in counts] == [str(len(BUNDLE["tools"]))] * 3
    assert [count["of"] for count in counts] == ["tools"] * 3


# Order


def test_after_each_failure_a_way_leads_to_the_end_and_breaks_no_rule():
    walker, failures = walker_of(VAN), 0
    for at, state in straight_run(VAN)[0]:
        for failure in walker.steps[at]["fails"]:
            for after in walker.failed(at, failure, state):
                failures += 1
                way = walker.way_to_the_end(after)
                assert way is not None, failure["id"]
                for step in way:
                    assert walker.broken_rules(step, after) == [], failure["id"]
                    after = walker.done(step, after)
                assert walker.is_finished(after)
    assert failures >= 60


# What the trade does after a failure (common practice, no source): undo, then redo, to the letter.
WAYS = {
    ("pins_again", "pointer_out"): {
        "slot_bolts_loose", "nut_to_hand", "set_pointer", "tighten_nut", "tighten_slots",
        "pins_out", "two_turns", "pins_again",
    },
    ("pins_again", "one_tooth_out"): {
        "camshaft_to_its_pin", "nut_loose", "belt_off_again", "tensioner_off_again", "stud_in",
        "tensioner_on", "belt_on", "set_pointer", "tighten_nut", "tighten_slots", "pins_out",
        "two_turns", "pins_again",
    },
    ("pins_again", "note_unclear"): {"pins_again"},
    ("two_turns", "hard_spot"): {"turn_to_marks", "two_turns"},
    ("belt_on", "shaft_slipped"): {"shafts_to_their_marks", "pins_in", "belt_on"},
    ("idler_on", "idler_not_flush"): {"rollers_off", "stud_in", "idler_on"},
    ("damper_on", "damper_angle_missed"): {"damper_on"},
    ("covers_on", "drive_photo_blurred"): {"prove_timing", "covers_on"},
    ("pressure_test", "leaks_at_hose"): {"pressure_test"},
    ("pressure_test", "leaks_at_pump"): {
        "drain_again", "aux_off_again", "damper_off_again", "mount_off_again", "covers_off_again",
        "pins_in_again", "nut_loose", "belt_off_again", "pump_off", "pump_on",
        "tensioner_off_again", "stud_in", "tensioner_on", "slot_bolts_loose", "belt_on",
        "set_pointer", "tighten_nut", "tighten_slots", "pins_out", "two_turns", "pins_again",
        "prove_timing", "covers_on", "mount_on", "damper_on", "aux_on", "fill_coolant",
        "pressure_test",
    },
}  # fmt: skip


@pytest.mark.parametrize("case", WAYS, ids="-".join)
def test_what_is_done_again_is_what_the_trade_does_again(case):
    way = way_after(VAN, *case)
    assert set(way) == WAYS[case]
    assert len(way) == len(set(way))


# The rules are no ornament: each blunder below is a change to the source that some rule must catch
# in the listed order, with all needs taken out, so that nothing but the rules can object.
BLUNDERS = {
    "pins left in": (
        "does: [hands_in_drive, counterhold=off, pump_lock=out, cam_lock=out, crank_lock=out]",
        "does: [hands_in_drive, counterhold=off]",
        ("two_turns", "crank_turned_against_a_lock"),
    ),
    "flywheel lock left in": (
        "damper=final, fly_lock=out]",
        "damper=final]",
        ("battery_on", "battery_on_too_early"),
    ),
    "slot bolts never tightened": (
        "does: [hands_in_drive, cam_bolts=torqued]",
        "does: [hands_in_drive]",
        ("pins_out", "locks_out_too_early"),
    ),
    "tensioner nut never tightened": (
        "does: [hands_in_drive, tensioner_nut=torqued]",
        "does: [hands_in_drive]",
        ("two_turns", "turned_before_tight"),
    ),
    "two turns skipped": (
        "crank_at=marks, turns=two]",
        "crank_at=marks]",
        ("prove_timing", "timing_called_proved_early"),
    ),
    "stud not measured": (
        "stud=new, stud_seat=measured]",
        "stud=new]",
        ("tensioner_on", "tensioner_on_unmeasured_stud"),
    ),
    "tools not counted": (
        "does: [tools=complete, clear=clear, battery=on]",
        "does: [clear=clear, battery=on]",
        ("battery_on", "battery_on_too_early"),
    ),
    "no coolant": (
        "does: [work_under, drain=closed, coolant=filled, mix=right]",
        "does: [work_under, drain=closed, mix=right]",
        ("pressure_test", "leak_test_of_nothing"),
    ),
    "cap opened hot": (
        "does: [temp=cold, cap=open]",
        "does: [cap=open]",
        ("open_cap", "opened_hot"),
    ),
    "old damper bolt": (
        "fly_lock=in, damper_bolt=new, damper=final",
        "fly_lock=in, damper=final",
        ("damper_on", "damper_tightened_unheld"),
    ),
    "mount left off": (
        "mount_bolts=new, mount=final, prop=off]",
        "mount_bolts=new, prop=off]",
        ("mount_on", "prop_away_too_early"),
    ),
    "no photo before the covers": (
        "crank_lock=out, drive_photo=taken, drive_tools",
        "crank_lock=out, drive_tools",
        ("covers_on", "closed_up_unproved"),
    ),
    "sprocket loosened on its pin": (
        "counterhold=fitted, loosen_sprocket, cam_bolts=loose, tensioner_nut=loose]",
        "loosen_sprocket, cam_bolts=loose, tensioner_nut=loose]",
        ("loosen_slots_and_nut", "sprocket_loosened_unheld"),
    ),
    "battery left on": (
        "does: [battery=off]\n    proof:",
        "does: []\n    proof:",
        ("aux_off", "hands_in_live_drive"),
    ),
    "shipping pin never pulled": (
        "does: [hands_in_drive, tensioner_pin=out, tension=set]",
        "does: [hands_in_drive, tension=set]",
        ("two_turns", "turned_on_pinned_tensioner"),
    ),
}


@pytest.mark.parametrize("blunder", BLUNDERS)
def test_a_rule_catches_the_blunder(blunder):
    old, new, broken = BLUNDERS[blunder]
    text = text_of(VAN)
    assert text.count(old) == 1
    source = without_needs_and_failures(text.replace(old, new))
    assert broken in rules_broken_in_order(compile_source(source.encode(), {}).bundle)
