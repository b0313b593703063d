"""
The three demo procedures: words that fit, an order that is safe, and a way out of everything that
fails. Their figures are in `test_demo_figures`, what a rule catches in `test_demo_blunders`; all
that one phone can reach of the van's is walked in `test_prove`.

What the trade does after a failure is common practice, no source.
"""

import re
from pathlib import Path

import pytest

from demo_procedures import (
    HATCH,
    ROADSIDE,
    VAN,
    after_failure,
    asks_of,
    bundle_of,
    loaded,
    proofs,
    source_steps,
    states_of,
    step_at,
    straight_run,
    text_of,
    walker_of,
    way_after,
    words,
)
from twoturns.procedure.compile.compiler import compile_source
from twoturns.procedure.prove.prove import prove, prove_compiled
from twoturns.procedure.rules.house import house_rules

pytestmark = pytest.mark.slow(10)

SIGNS = Path(__file__).parents[3] / "client" / "src" / "parts" / "signs.tsx"
STEPS = {VAN: 46, HATCH: 44, ROADSIDE: 36}

every = pytest.mark.parametrize("name", [VAN, HATCH, ROADSIDE])
both = pytest.mark.parametrize("name", [HATCH, ROADSIDE])


# Words


@every
def test_steps_are_numbered_in_order(name):
    ordinary = [step for step in bundle_of(name)["steps"] if not step["undo"]]
    assert [step["number"] for step in ordinary] == [str(at + 1) for at in range(STEPS[name])]
    assert all(step["must"] for step in ordinary)


@every
def test_titles_and_keys_fit_a_narrow_phone(name):
    # Forty characters in two lines of 31 px on 360 px: the concept's measure.
    steps = bundle_of(name)["steps"]
    assert not [step["title"] for step in steps if len(step["title"]) > 40]
    assert not [step["act"] for step in steps if len(step["act"]) > 26]
    banned = {"ok", "done", "submit", "next", "confirm"}
    assert not [step["act"] for step in steps if step["act"].lower() in banned]


@every
def test_nobody_is_addressed_or_blamed(name):
    bad = re.compile(r"\b(you|your|error|invalid|please|wrongly)\b", re.IGNORECASE)
    assert not [sentence for sentence in words(bundle_of(name)) if bad.search(sentence)]


@every
def test_each_value_is_said_in_words_of_its_own(name):
    says = [value["says"] for c in bundle_of(name)["conditions"] for value in c["values"]]
    assert len(says) == len(set(says))
    assert all(sentence[-1] not in ".!" for sentence in says), "they end up inside a sentence"


@every
def test_what_to_do_is_said_in_whole_sentences(name):
    for step in bundle_of(name)["steps"]:
        told = [*step["says"], *(failure["then"] for failure in step["fails"])]
        assert all(sentence[-1] in ".!" for sentence in told), step["id"]


@every
def test_the_red_ring_never_strikes_out_the_way_that_is_right(name):
    """ISO 3864-1: a red ring with a bar forbids. Beside "Clockwise only" it would forbid that."""
    for step in bundle_of(name)["steps"]:
        sign, says = (step.get("caution") or {"sign": "", "says": ""}).values()
        if sign == "no_turning":
            assert "only" not in says, step["id"]


@every
def test_no_photo_and_no_measure_leads_into_the_road(name):
    for step in bundle_of(name)["steps"]:
        for proof in step["proof"]:
            if "traffic" in proof["label"] or "cones" in proof["label"]:
                assert proof["kind"] == "count" or "from the verge" in proof["label"]


@every
def test_every_caution_has_a_sign_that_the_phone_can_draw(name):
    drawn = set(re.findall(r"^  ([a-z_]+): (?:[(<]|[a-zA-Z]+\()", SIGNS.read_text(), re.MULTILINE))
    used = {step["caution"]["sign"] for step in bundle_of(name)["steps"] if "caution" in step}
    assert used <= drawn
    assert len(used) >= 5


@every
def test_no_step_leaves_half_of_its_screen_empty(name):
    """It shows where on the drive to look, or what it is about; a tool is not on the drive."""
    bundle = bundle_of(name)
    wheels = {wheel["id"] for wheel in bundle["drive"]["wheels"]}
    pins = {wheel["hole"]["pin"] for wheel in bundle["drive"]["wheels"] if "hole" in wheel}
    for step in bundle["steps"]:
        assert "drawn" in step or (wheels | pins) & {*step["look"]}, step["id"]


@every
def test_the_vehicle_makers_data_come_first(name):
    assert any("vehicle maker's data" in caution for caution in bundle_of(name)["cautions"])


# Order


@every
def test_the_listed_order_is_open_keeps_every_rule_and_finishes(name):
    walker = walker_of(name)
    run, end = straight_run(name)
    for at, state in run:
        assert walker.opened_in_order(state) == at
        assert walker.broken_rules(at, state) == []
    assert walker.is_finished(end)


@every
def test_no_step_leaves_a_tool_in_the_engine(name):
    out = set()
    for step in bundle_of(name)["steps"]:
        if step["undo"]:
            continue
        out = (out | set(step["tools_out"])) - set(step["tools_in"])
        if step["id"] in ("prove_timing", "battery_on", "count_tools", "first_start", "hand_over"):
            assert out == set(), step["id"]


def recovers(step, failure):
    """Whether a failure leaves the verdict to recover."""
    fails = source_steps(ROADSIDE)[step].get("fails", [])
    return any(
        each["id"] == failure and each.get("leaves", {}).get("verdict") == "recover"
        for each in fails
    )


# A belt that failed ends in a job of its own, after its leak-down test.
FAILED_BELT = ("belt_failed", "marks_disagree")
FAILURES = {VAN: 60, HATCH: 60, ROADSIDE: 40}


@every
def test_after_each_failure_an_end_is_reached_and_no_rule_broken(name):
    walker, failures = walker_of(name), 0
    for at, state in straight_run(name)[0]:
        step = walker.steps[at]
        for failure in step["fails"]:
            for after in walker.failed(at, failure, state):
                failures += 1
                if name == ROADSIDE and recovers(step["id"], failure["id"]):
                    reached, _ = states_of(walker, after)
                    assert any(walker.is_finished(each, "recovered") for each in reached)
                    assert not any(walker.is_finished(each) for each in reached)
                    continue
                if failure["id"] in FAILED_BELT:
                    reached, _ = states_of(walker, after)
                    assert any(walker.is_finished(each, "belt_had_failed") for each in reached)
                    continue
                way = walker.way_to_the_end(after)
                assert way is not None, failure["id"]
                here = after
                for each in way:
                    assert walker.broken_rules(each, here) == [], failure["id"]
                    here = walker.done(each, here)
                assert walker.is_finished(here)
    assert failures >= FAILURES[name]


# Undo, then redo, to the letter.
WAYS = {
    (VAN, "pins_again", "pointer_out"): {
        "slot_bolts_loose", "nut_to_hand", "set_pointer", "tighten_nut", "tighten_slots",
        "pins_out", "two_turns", "pins_again",
    },
    (VAN, "pins_again", "one_tooth_out"): {
        "camshaft_to_its_pin", "nut_loose", "belt_off_again", "tensioner_off_again",
        "tensioner_on", "belt_on", "set_pointer", "tighten_nut", "tighten_slots", "pins_out",
        "two_turns", "pins_again",
    },
    (VAN, "pins_again", "note_unclear"): {"pins_again"},
    (VAN, "two_turns", "hard_spot"): {"turn_to_marks", "two_turns"},
    (VAN, "belt_on", "shaft_slipped"): {
        "leak_down", "shafts_to_their_marks", "pins_in", "belt_on",
    },
    (VAN, "idler_on", "idler_not_flush"): {"rollers_off", "stud_in", "idler_on"},
    (VAN, "damper_on", "damper_angle_missed"): {"damper_on"},
    (VAN, "covers_on", "drive_photo_blurred"): {"prove_timing", "covers_on"},
    (VAN, "pressure_test", "leaks_at_hose"): {"pressure_test"},
    (VAN, "pressure_test", "leaks_at_pump"): {
        "drain_again", "pins_in_again", "nut_loose", "belt_off_again", "pump_off", "pump_on",
        "tensioner_off_again", "tensioner_on", "slot_bolts_loose", "belt_on",
        "set_pointer", "tighten_nut", "tighten_slots", "pins_out", "two_turns", "pins_again",
        "prove_timing", "fill_coolant", "pressure_test",
    },
    (HATCH, "locks_again", "note_out"): {
        "nut_to_hand", "taper_bolts_loose", "set_tension", "tighten_nut", "tighten_tapers",
        "locks_out", "two_turns", "locks_again",
    },
    (HATCH, "locks_again", "taper_slipped"): {
        "camshafts_to_the_bar", "nut_to_hand", "set_tension", "tighten_nut", "tighten_tapers",
        "locks_out", "two_turns", "locks_again",
    },
    (HATCH, "locks_again", "note_unclear"): {"locks_again"},
    (HATCH, "tighten_tapers", "taper_angle_missed"): {
        "nut_to_hand", "set_tension", "tighten_nut", "tighten_tapers",
    },
    (HATCH, "set_tension", "past_the_window"): {"set_tension"},
    (HATCH, "two_turns", "hard_spot"): {"turn_to_marks", "two_turns"},
    (HATCH, "covers_on", "plug_cross_threaded"): {"prove_timing", "covers_on"},
    (HATCH, "belt_on", "shaft_slipped"): {
        "leak_down", "shafts_to_their_marks", "locks_in", "belt_on",
    },
    (ROADSIDE, "look_at_place", "amber_place"): {"move_to_safe_place", "look_at_place"},
    (ROADSIDE, "check_ribs", "rib_off"): {"lay_belt", "check_ribs"},
    (ROADSIDE, "two_turns", "wandered"): {
        "belt_off_again", "measure_line", "find_cause", "brush_grooves", "lay_belt", "check_ribs",
        "let_arm_up", "two_turns",
    },
    (ROADSIDE, "first_start", "squeal_or_flutter"): {
        "let_cool", "belt_off_again", "measure_line", "find_cause", "brush_grooves", "lay_belt",
        "check_ribs", "let_arm_up", "two_turns", "read_arm", "count_tools", "first_start",
    },
}  # fmt: skip


@pytest.mark.parametrize("case", WAYS, ids="-".join)
def test_what_is_done_again_is_what_the_trade_does_again(case):
    way = way_after(*case)
    assert set(way) == WAYS[case]
    assert len(way) == len(set(way))


# The triage


TURNING = {"turn_crank", "two_turns", "first_start", "road_test"}
RED = [
    ("look_at_place", "red_place"),
    ("guard_scene", "traffic_too_close"),
    ("look_behind_wheel", "strands_drawn_in"),
    ("look_behind_wheel", "cover_broken"),
    ("exclude_high_voltage", "hybrid_not_isolated"),
    ("let_cool", "coolant_sprays"),
]


@pytest.mark.parametrize(("step", "failure"), RED)
def test_red_ends_in_recovered_and_nothing_is_cranked(step, failure):
    walker = walker_of(ROADSIDE)
    (after,) = after_failure(ROADSIDE, step, failure)
    to_the_lorry = step_at(ROADSIDE, "to_the_lorry")
    assert walker.is_open(to_the_lorry, after), "red ends the job there and then"
    assert walker.is_finished(walker.done(to_the_lorry, after), "recovered")
    reached, _ = states_of(walker, after)
    possible = {walker.steps[at]["id"] for state in reached for at in walker.opened(state)}
    for each in possible:
        assert not TURNING & set(source_steps(ROADSIDE)[each].get("does", [])), each
    assert not any(walker.is_finished(state) for state in reached)


def test_nothing_turns_the_engine_before_the_look_behind_its_wheel():
    walker = walker_of(ROADSIDE)
    strands = [each["id"] for each in walker.machine["conditions"]].index("strands")
    for state in states_of(walker)[0]:
        for at in walker.opened(state):
            does = source_steps(ROADSIDE)[walker.steps[at]["id"]].get("does", [])
            if {"turn_crank", "two_turns", "first_start"} & set(does):
                assert state.values[strands] == 1


def test_each_colour_of_the_triage_can_be_chosen():
    colours = {
        (option["says"].split(" ")[0], option["ok"])
        for step, proof in proofs(bundle_of(ROADSIDE))
        for option in proof.get("options", [])
        if option["says"].split(" ")[0] in ("green", "amber", "red")
    }
    assert colours == {("green", True), ("amber", False), ("red", False)}


# Proving


@both
def test_it_is_proved_and_two_walkers_agree_how_far_one_can_go(name):
    proof = prove_compiled(loaded(name).compiled)
    assert proof.findings == ()
    states, transitions = states_of(walker_of(name), asks=asks_of(bundle_of(name)))
    assert proof.states == len(states)
    assert proof.transitions == transitions


def test_an_end_to_recover_is_a_right_end_only_for_a_verdict():
    # With a step that takes the verdict at will every state would count as saved: none would be.
    text = text_of(ROADSIDE)
    old = "    conditions:\n      verdict: recover\n"
    assert text.count(old) == 1
    source = text.replace(old, "    conditions:\n      verdict: [open, recover]\n")
    codes = [each.code for each in prove(compile_source(source.encode(), {}).bundle).findings]
    assert codes == ["dead-end"]


# Rules that are silent. What is done and cannot be asked stands under `absent` in the source, with
# its reason; these cannot be broken, because nothing does what they forbid.
NEVER_DONE = {
    HATCH: {
        "nothing is ever sprayed at a belt": {"solvent_on_belt"},
        "the tensioner has no shipping pin to pull": {"shipping_pin_pulled_early"},
        "no fuel line is opened, no airbag is near, no impact wrench comes to a lock": {
            "fuel_line_opened_under_pressure",
            "airbag_touched_early",
            "impact_wrench_on_a_lock",
        },
    },
    ROADSIDE: {
        "nothing is ever sprayed at a belt, and nothing is turned back by plan": {
            "solvent_on_belt",
            "crank_turned_back",
        },
        "the timing belt, its rollers and its pump stay where they are": {
            "belt_cut_whole",
            "belt_off_shafts_free",
            "belt_off_unphotographed",
            "belt_on_old_cause",
            "belt_on_open_parts",
            "belt_on_shafts_free",
            "belt_on_tight_nut",
            "belt_on_unchecked_kit",
            "belt_on_wet_drive",
            "locks_out_too_early",
            "pin_pushed_off_its_hole",
            "cam_pinned_out_of_step",
            "pump_on_wet_face",
            "shafts_brought_back_on_a_belt",
            "shipping_pin_pulled_early",
            "sprocket_loosened_unheld",
            "sprocket_tightened_too_early",
            "tension_set_falsely",
            "tensioner_loosened_unlocked",
            "tensioner_on_unmeasured_stud",
            "tensioner_tightened_unset",
            "timing_called_proved_early",
        },
        "the cooling circuit stays shut": {
            "drained_without_tray",
            "filled_over_open_circuit",
            "leak_test_of_nothing",
            "opened_hot",
            "pump_off_full",
            "filled_unflushed",
        },
        "no fuel line is opened, no airbag is near, nothing is blown out or hammered": {
            "fuel_line_opened_under_pressure",
            "airbag_touched_early",
            "impact_wrench_on_a_lock",
            "air_without_glasses",
        },
        "mount and damper stay on": {
            "damper_loosened_unheld",
            "damper_tightened_unheld",
            "mount_off_unpropped",
            "mount_with_old_bolts",
            "prop_away_too_early",
        },
        "nothing is raised and nobody goes under it": {
            "raised_unsecured",
            "work_under_unsupported",
            "lowered_onto_something",
        },
    },
}
# These would be asked, and all that they ask for is absent, for the reason in the source.
ALL_ABSENT = {
    HATCH: {"hybrid_not_proved_dead", "turned_on_pinned_tensioner"},
    ROADSIDE: {
        "closed_up_unproved",
        "crank_turned_against_a_lock",
        "crank_turned_loose",
        "crank_turned_out_of_step",
        "crank_turned_without_belt",
        "part_off_under_the_belt",
        "run_in_its_fumes",
        "started_off_its_wheels",
        "started_on_touched_valves",
        "started_with_a_lock_in",
        "turned_before_tight",
        "turned_on_a_failed_belt",
        "turned_on_pinned_tensioner",
    },
}


@both
def test_a_rule_is_silent_for_a_reason_or_not_at_all(name):
    compiled = loaded(name).compiled
    wholly = {silent.rule for silent in compiled.silent_rules if silent.wholly}
    assert wholly == set().union(*NEVER_DONE[name].values(), ALL_ABSENT[name])
    for silent in compiled.silent_rules:
        assert set(silent.unasked) <= compiled.absent.keys(), silent.rule
        assert bool(silent.unasked) or silent.rule not in ALL_ABSENT[name], silent.rule
    assert all(reason.endswith(".") for reason in compiled.absent.values())


@both
def test_what_can_be_asked_is_asked(name):
    asked = {rule["id"] for rule in bundle_of(name)["rules"]}
    silent = {each.rule for each in loaded(name).compiled.silent_rules if each.wholly}
    of_the_house = {rule.id for rule in house_rules()} - silent
    assert of_the_house <= asked
    assert len(asked - of_the_house) == {HATCH: 3, ROADSIDE: 11}[name]  # its own
