"""
The rules are no ornament: each blunder below is a change to a demo's source that some rule must
catch in the listed order, with all that the steps ask for taken out, so that nothing but the rules
can object. The hatch has the twelve of our paper on the trade, and three of its own engine.
"""

import pytest

from demo_procedures import (
    HATCH,
    ROADSIDE,
    VAN,
    rules_broken_in_order,
    text_of,
    without_needs_and_failures,
)
from twoturns.procedure.compile.compiler import compile_source

pytestmark = pytest.mark.slow(5)

# Written to the letter alike in both timing drives.
OF_BOTH = {
    "flywheel lock left in": (
        "damper=final, fly_lock=out]",
        "damper=final]",
        ("battery_on", "battery_on_too_early"),
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
    "tools not counted": (
        "does: [tools=complete, clear=clear, battery=on]",
        "does: [clear=clear, battery=on]",
        ("battery_on", "battery_on_too_early"),
    ),
    "no coolant": (
        "coolant_kind=right, drain=closed, coolant=filled",
        "coolant_kind=right, drain=closed",
        ("pressure_test", "leak_test_of_nothing"),
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
    "started in its fumes": (
        "does: [extraction=on, key=in, first_start",
        "does: [key=in, first_start",
        ("first_start", "run_in_its_fumes"),
    ),
    "turned in gear": (
        "does: [site=bay, gear=neutral, brake=on",
        "does: [site=bay, brake=on",
        ("turn_to_marks", "turned_in_gear"),
    ),
    "brake left off": (
        "does: [site=bay, gear=neutral, brake=on",
        "does: [site=bay, gear=neutral",
        ("two_turns", "turned_in_gear"),
    ),
    "let down with the wheel off": (
        "wheels=hand, underneath=clear, support=on_wheels",
        "underneath=clear, support=on_wheels, wheels=hand",
        ("wheel_on", "lowered_onto_something"),
    ),
    "let down on somebody": (
        "wheels=hand, underneath=clear, support=on_wheels",
        "wheels=hand, support=on_wheels",
        ("wheel_on", "lowered_onto_something"),
    ),
    "let down on the tray": (
        "coolant=filled, tray=none]",
        "coolant=filled]",
        ("wheel_on", "lowered_onto_something"),
    ),
    "belt not looked at": (
        "covers=off, belt_found=whole",
        "covers=off",
        ("turn_to_marks", "turned_on_a_failed_belt"),
    ),
    "circuit not flushed": (
        "coolant=drained, circuit=flushed]",
        "coolant=drained]",
        ("fill_coolant", "filled_unflushed"),
    ),
    "any coolant": (
        "coolant_kind=right, drain=closed",
        "drain=closed",
        ("fill_coolant", "filled_unflushed"),
    ),
    "lot not held against the recalls": (
        "does: [kit=checked, lot=clear]",
        "does: [kit=checked]",
        ("belt_on", "recalled_part_fitted"),
    ),
    "wrench not looked at": (
        "does: [tools_ready=counted]",
        "does: []",
        ("tighten_nut", "tightened_with_an_unfit_tool"),
    ),
    "no photo before the covers": (
        "=out, drive_photo=taken, drive_tools",
        "=out, drive_tools",
        ("covers_on", "closed_up_unproved"),
    ),
}
BLUNDERS = {
    VAN: {
        **OF_BOTH,
        "pins left in": (
            "does: [hands_in_drive, counterhold=off, crank_lock=out, cam_lock=out, pump_lock=out]",
            "does: [hands_in_drive, counterhold=off]",
            ("two_turns", "crank_turned_against_a_lock"),
        ),
        "slot bolts never tightened": (
            "does: [hands_in_drive, counterhold=fitted, cam_bolts=torqued]",
            "does: [hands_in_drive, counterhold=fitted]",
            ("pins_out", "locks_out_too_early"),
        ),
        "blown out without glasses": (
            "eyes=covered, blow_air, pump_face=dry",
            "blow_air, pump_face=dry",
            ("pump_off", "air_without_glasses"),
        ),
        "impact wrench on the flywheel lock": (
            "does: [work_under, fly_lock=in, damper_bolt=new,",
            "does: [work_under, fly_lock=in, impact_wrench, damper_bolt=new,",
            ("damper_on", "impact_wrench_on_a_lock"),
        ),
        "stud not measured": (
            "stud_seat=measured, tensioner=new",
            "tensioner=new",
            ("tensioner_on", "tensioner_on_unmeasured_stud"),
        ),
        "cap opened hot": (
            "does: [temp=cold, cap=open]",
            "does: [cap=open]",
            ("open_cap", "opened_hot"),
        ),
        "sprocket loosened on its pin": (
            "does: [hands_in_drive, counterhold=fitted, loosen_sprocket, cam_bolts=loose, "
            "counterhold=off, tensioner_nut=loose]",
            "does: [hands_in_drive, loosen_sprocket, cam_bolts=loose, tensioner_nut=loose]",
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
    },
    HATCH: {
        **OF_BOTH,
        "locks left in": (
            "does: [hands_in_drive, counterhold=off, crank_lock=out, cam_lock=out]",
            "does: [hands_in_drive, counterhold=off]",
            ("two_turns", "crank_turned_against_a_lock"),
        ),
        "taper bolts never tightened": (
            "does: [hands_in_drive, taper_bolts=new, counterhold=fitted, cam_bolts=torqued]",
            "does: [hands_in_drive, taper_bolts=new, counterhold=fitted]",
            ("locks_out", "locks_out_too_early"),
        ),
        "stud not measured": (
            "stud_seat=measured, tensioner=new",
            "tensioner=new",
            ("tensioner_on", "tensioner_on_unmeasured_stud"),
        ),
        "cap opened hot": (
            "does: [battery=off, temp=cold, cap=open]",
            "does: [battery=off, cap=open]",
            ("cool_and_dead", "opened_hot"),
        ),
        "plugs left out": (
            "does: [hands_in_drive, plugs=in, covers=on]",
            "does: [hands_in_drive, covers=on]",
            ("first_start", "started_unfinished"),
        ),
        "old taper bolts": (
            "does: [hands_in_drive, taper_bolts=new, counterhold=fitted, cam_bolts=torqued]",
            "does: [hands_in_drive, counterhold=fitted, cam_bolts=torqued]",
            ("tighten_tapers", "sprocket_on_old_bolts"),
        ),
        "note not measured again": (
            "pins_re_enter=freely, frequency=in_window]",
            "pins_re_enter=freely]",
            ("prove_timing", "timing_called_proved_early"),
        ),
    },
    ROADSIDE: {
        "not looked behind the wheel": (
            "does: [work_roadside, covers=on, strands=none]",
            "does: [work_roadside, covers=on]",
            ("two_turns", "turned_before_looking_behind"),
        ),
        "no shield": (
            "does: [scene=guarded, site=safe]",
            "does: [site=safe]",
            ("old_belt_out", "reached_in_unguarded"),
        ),
        "place not judged": (
            "does: [scene=guarded, site=safe]",
            "does: [scene=guarded]",
            ("look_behind_wheel", "roadside_not_safe"),
        ),
        "battery left on": (
            "does: [work_roadside, battery=off]\n    proof:",
            "does: [work_roadside]\n    proof:",
            ("old_belt_out", "hands_in_live_drive"),
        ),
        "high voltage not excluded": (
            "does: [work_roadside, high_voltage=proved_dead]",
            "does: [work_roadside]",
            ("old_belt_out", "hybrid_not_proved_dead"),
        ),
        "ribs not checked": (
            "does: [hands_in_drive, aux_path=checked]",
            "does: [hands_in_drive]",
            ("let_arm_up", "aux_arm_let_go_unchecked"),
        ),
        "cause not found": (
            "does: [hands_in_drive, cause=found]",
            "does: [hands_in_drive]",
            ("lay_belt", "belt_laid_on_a_bad_drive"),
        ),
        "tool left on the drive": (
            "does: [tools=complete, clear=clear]",
            "does: [clear=clear]",
            ("first_start", "started_unproved"),
        ),
        "charging not measured": (
            "does: [work_roadside, charge=right]",
            "does: [work_roadside]",
            ("proving_drive", "driven_off_uncharged"),
        ),
        "cones left on the road": (
            "looked_again=centred, chocks=off, scene=cleared]",
            "looked_again=centred, chocks=off]",
            ("proving_drive", "driven_off_uncharged"),
        ),
    },
}


@pytest.mark.parametrize(
    ("name", "blunder"), [(name, blunder) for name, rows in BLUNDERS.items() for blunder in rows]
)
def test_a_rule_catches_the_blunder(name, blunder):
    old, new, broken = BLUNDERS[name][blunder]
    text = text_of(name)
    assert text.count(old) == 1
    source = without_needs_and_failures(text.replace(old, new))
    assert broken in rules_broken_in_order(compile_source(source.encode(), {}).bundle)
