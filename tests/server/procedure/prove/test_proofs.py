"""
Proofs that do not prove: each fault is planted into the van's source, and found by its name, at its
line. What a shop takes for a proof is common practice, no source; what a wrench may be off is of
ISO 6789, as a wrench maker's manual quotes it.
"""

import pytest

from demo_procedures import HATCH, ROADSIDE, VAN, text_of
from planted import found_in, line_of, moved, planted, require_told
from procedure_folder import tiny_text
from twoturns.procedure.compile.compiler import compile_source
from twoturns.procedure.prove.proofs import not_proving
from twoturns.procedure.prove.prove import prove_compiled

pytestmark = pytest.mark.slow(5)

NUT = "label: tensioner nut, unit: N·m, target: 26, tool: torque_wrench}"
NOTE = "low: 123.5, high: 143.6, target: 133.9, by: [pluck, hand]"
LIFTED = "      - {name: pads, kind: photo, label: pads at the lifting points}\n"
OLD_BELT = "      - name: old_beside_new\n"
NUT_CURE = "then: Nut back to hand, key back to slack, then set it anew."

PLANTED = {
    "a limit on the old belt": (
        [(OLD_BELT, "      - {name: w, kind: reading, label: width of the old belt, unit: mm, "
          "low: 24, high: 25.5}\n" + OLD_BELT)],
        "limit-on-old", "19 Old belt off", "- {name: w,",
    ),
    "the teeth of the old belt counted to a target": (
        [(OLD_BELT, "      - {name: n, kind: count, label: teeth of the old belt, target: 140}\n"
          + OLD_BELT)],
        "limit-on-old", "19 Old belt off", "- {name: n,",
    ),
    "a window on a click that is what any wrench may be off": (
        [(NUT, NUT.replace("target", "low: 24.96, high: 27.04, target"))],
        "setting-as-window", "28 Tensioner nut", "- {name: nut_torque",
    ),
    "a note of another belt": (
        [(NOTE, NOTE.replace("123.5, high: 143.6, target: 133.9", "90, high: 110, target: 100"))],
        "note-differs", "between 123.5 and 143.6 Hz", "- {name: belt_note,",
    ),
    "a photo of nothing in particular": (
        [(LIFTED, "      - {name: pads, kind: photo, label: picture}\n")],
        "photo-unsaid", "'picture'", "- {name: pads,",
    ),
    "oil that nothing follows from": (
        [("says: 'oil - the seal is renewed, the owner is told'", "says: oil")],
        "red-nowhere", "the answer 'oil'", "- {id: oil,",
    ),
    "a cracked back that nothing follows from": (
        [("says: back glazed or cracked - rollers and pump are changed", "says: back cracked")],
        "red-nowhere", "the answer 'back cracked'", "- {id: back,",
    ),
    "a red answer of a step that has no failure": (
        [("says: whole and dry - it goes on again}", "says: whole and dry - it goes on again}\n"
          "          - {id: none, says: there are none, ok: no}"),
         ("    fails:\n      - id: arm_does_not_hold\n        says: The arm does not reach its "
          "pin.\n"
          "        then: Let it back slowly. Look for a bent arm or a second stop.\n"
          "        leaves: {aux_pin: out, aux: on}\n", "")],
        "red-nowhere", "there are none", "- {id: none,",
    ),
    "a stand-out before the torque that makes it": (
        [("      - {name: stud_torque,", "      - {name: seat, kind: reading, label: stand-out "
          "before, unit: mm, low: 41, high: 42}\n      - {name: stud_torque,")],
        "asked-early", "'stand-out before' before 'stud'", "- {name: seat,",
    ),
    "a drop before the time in which it drops": (
        [("      - {name: hold, kind: wait,", "      - {name: fell, kind: reading, label: drop, "
          "unit: bar, low: 0, high: 0.05}\n      - {name: hold, kind: wait,")],
        "asked-early", "'drop' before 'hold the pressure'", "- {name: fell,",
    ),
    "a cure by a torque that the step refuses": (
        [(NUT_CURE, "then: Nut back to hand, then 30 N·m.")],
        "cure-outside", "30 N·m", "- id: pointer_moved",
    ),
    "a cure by turns that the step refuses": (
        [("Take the cause out, turn on clockwise until the marks are up, then two turns anew.",
          "Take the cause out, then four turns anew.")],
        "cure-outside", "4 turns", "- id: hard_spot",
    ),
    "a title with another torque": (
        [("title: Tensioner nut, 26 N·m", "title: Tensioner nut, 28 N·m")],
        "figure-differs", "says 28 N·m", "- id: tighten_nut",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", [VAN, HATCH, ROADSIDE])
def test_the_demos_prove_what_they_ask(name):
    assert found_in(text_of(name), not_proving) == []


@pytest.mark.parametrize("fault", PLANTED)
def test_a_planted_fault_is_found_by_its_name_at_its_line(fault):
    changes, code, says, line = PLANTED[fault]
    text = planted(*changes)
    (found,) = found_in(text, not_proving)
    require_told(text, found, code, says, line)


def test_seats_that_are_clean_before_the_coolant_runs_are_found_with_the_way_there():
    text = moved(text_of(VAN), "rollers_off", "pump_off")
    (found,) = found_in(text, not_proving)
    assert found.code == "clean-then-wet"
    assert found.message == (
        "the seats of the rollers are clean, and '20 Pump off, face and seals dry' wets it again"
    )
    assert line_of(text, found) == "- id: pump_off"
    assert (found.way[0], found.way[-2:]) == ("confirm_vehicle", ("rollers_off", "pump_off"))
    assert found.sequence[-1] == "20 Pump off, face and seals dry"


def test_what_falls_when_it_is_wetted_is_no_fault():
    text = moved(text_of(VAN), "rollers_off", "pump_off")
    old, new = "  pump=off: [pump_face, leak]\n", "  pump=off: [pump_face, leak, seats]\n"
    assert text.count(old) == 1
    assert found_in(text.replace(old, new), not_proving) == []


def test_a_makers_own_wider_window_is_no_setting():
    assert found_in(planted((NUT, NUT.replace("target", "low: 23, high: 29, target"))),
                    not_proving) == []  # fmt: skip


def test_a_target_alone_gets_the_window_that_a_wrench_may_be_off():
    """4 % of 26 is 1.04; up to 10 N·m it is 6 %: ISO 6789, as a maker's manual quotes it."""
    bundle = compile_source(planted(("target: 14, tool", "target: 10, tool")).encode(), {}).bundle
    windows = {
        proof["name"]: (proof["low"], proof["high"])
        for step in bundle["steps"]
        for proof in step["proof"]
        if proof.get("tool") == "torque_wrench"
    }
    assert windows["nut_torque"] == ("24.96", "27.04")
    assert windows["stud_torque"] == ("9.4", "10.6")


def test_the_proof_tells_it_among_its_findings():
    text = tiny_text().replace("tighten the nut and look at the whole drive", "tighten the nut")
    assert text != tiny_text()
    found = prove_compiled(compile_source(text.encode(), {})).findings
    assert [each.code for each in found] == ["photo-unsaid"]
