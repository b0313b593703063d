"""
Marks and locks come back only after whole turns of their wheels: each planted fault is found.

The turns of the wheels are worked by hand beside each: teeth of the crank times turns, divided by
the teeth of the wheel, is how often the wheel went round.
"""

import re

import pytest

from demo_procedures import HATCH, VAN, text_of
from planted import changed
from tiny_procedure import TINY_RULES, TINY_SOURCE
from twoturns.procedure.compile.compiler import compile_source
from twoturns.procedure.prove.packed import Packed
from twoturns.procedure.prove.phrases import Words
from twoturns.procedure.prove.prove import prove_compiled
from twoturns.procedure.prove.returns import not_returning
from twoturns.procedure.prove.straight import straight_run

pytestmark = pytest.mark.slow(6)

# The van's fuel pump and idler, and the same drive with a pump at two thirds of the crank's speed.
HALF_SPEED = "at: [108, 164.8], teeth: 48, side: inside, mark_deg: 21.7, hole: {at: [94, 146],"
TWO_THIRDS = "at: [118, 171], teeth: 36, side: inside, mark_deg: 18.3, hole: {at: [104, 152],"
IDLERS = "label: IDLER, at: [68, 54],", "label: IDLER, at: [62, 70],"
TWO = "label: turns of the crankshaft, unit: turns, low: 1.9, high: 2.1, target: 2,"
PINS_AGAIN = "crank_lock=in, cam_lock=in, pump_lock=in, pins_re_enter=freely"


def van(*changes):
    return changed(text_of(VAN), *changes)


def uneven(*changes):
    return van((HALF_SPEED, TWO_THIRDS), IDLERS, *changes)


def turned(low, high, target):
    label = TWO.partition("unit")[0]
    return TWO, f"{label}unit: turns, low: {low}, high: {high}, target: {target},"


def missed(text, rules=None):
    compiled = compile_source(text.encode(), {}, rules)
    packed = Packed(compiled.bundle["machine"])
    words = Words(compiled.bundle, compiled.document)
    return list(not_returning(compiled.bundle, packed, words, straight_run(packed)))


def at_steps(findings):
    assert {each.code for each in findings} <= {"lock-does-not-return"}
    return [(each.way[-1], each.message.partition(", ")[0]) for each in findings]


@pytest.mark.parametrize("name", [VAN, HATCH])
def test_marks_and_locks_of_the_demos_come_back(name):
    assert missed(text_of(name)) == []


def test_a_pump_at_two_thirds_is_a_third_of_a_turn_off_after_two_turns():
    """24 x 2 / 36 = 1 1/3 turns: neither its mark nor its hole; 24 x 2 / 48 = 1: the camshaft's."""
    text = uneven()
    mark, lock = missed(text)
    assert mark.message == (
        "'31 Two full turns clockwise by hand' has the mark of PUMP up again, "
        "2 turns of the crankshaft on: it is back every 3 turns"
    )
    assert lock.message == (
        "after '32 Pins in again, note of the belt' pin L3 is in the fuel pump wheel, "
        "2 turns of the crankshaft on: the hole of PUMP is back every 3 turns"
    )
    assert lock.hint.startswith("All marks and locks meet every 6 turns")
    assert text.splitlines()[lock.line - 1].strip() == "- id: pins_again"
    assert text.splitlines()[mark.line - 1].strip() == "- id: two_turns"
    assert lock.way[0] == "confirm_vehicle"
    assert lock.way[-2:] == ("two_turns", "pins_again")
    assert lock.sequence[-1] == "32 Pins in again, note of the belt"


def test_six_turns_bring_a_pump_at_two_thirds_back():
    """24 x 6 / 36 = 4, 24 x 6 / 48 = 3."""
    assert missed(uneven(turned("5.9", "6.1", "6"))) == []


def test_after_three_turns_all_but_the_crankshaft_are_half_a_turn_off():
    """24 x 3 / 48 = 1 1/2."""
    found = missed(van(turned("2.9", "3.1", "3")))
    assert [(step, says) for step, says in at_steps(found) if "mark" in says] == [
        ("two_turns", "'31 Two full turns clockwise by hand' has the mark of CAM up again"),
        ("two_turns", "'31 Two full turns clockwise by hand' has the mark of PUMP up again"),
    ]
    locks = [each.message for each in found if "hole" in each.message]
    assert len(locks) == 2
    assert any("pin L2" in each for each in locks)
    assert any("pin L3" in each for each in locks)


def test_half_a_turn_leaves_the_crankshaft_off_too():
    wheels = {
        each.message.split(" of ")[1].split(" ")[0] for each in missed(van(turned(0, 1, 0.5)))
    }
    assert "CRANK" in wheels


def test_a_wheel_that_the_belts_teeth_do_not_drive_is_not_judged():
    """The pump's wheel smooth, of the same pitch line: it may slip, and nobody can tell."""
    smooth = HALF_SPEED.replace("teeth: 48", "diameter_mm: 114.431")
    found = missed(van((HALF_SPEED, smooth), turned("2.9", "3.1", "3")))
    assert found
    assert not any("PUMP" in each.message for each in found)


def without_the_pumps_pin(text, part):
    """From a step on, a pump that stands where it likes: no step and no failure pins it."""
    before, name, after = text.partition(part)
    touched = r", pump_lock(=in|: in|: out\}|\])|pump_lock=out, "
    after = re.sub(touched, lambda found: found[0][-1] if found[0][-1] in "}]" else "", after)
    return before.replace("look: [crank, cam, fuel_pump]", "look: [crank, cam]") + name + after


def test_a_lock_that_only_a_way_back_puts_in_is_found():
    pins_again, ways_back = "  - id: pins_again\n", "  - id: pins_in_again\n"
    straight, _, back = uneven().partition(ways_back)
    (found,) = missed(without_the_pumps_pin(straight, pins_again) + ways_back + back)
    assert found.way[-2:] == ("two_turns", "pins_in_again")
    assert found.message.startswith("after 'back: Pins in again' pin L3 is in")


def test_a_lock_that_stays_out_after_the_turns_is_right():
    """A pump that is pinned while the belt goes on, and no more: its mark is not looked at."""
    jams = "leaves: {counterhold: off, crank_lock: in, cam_lock: in, pump_lock: in"
    text = uneven((jams, jams[:-2] + "out"))
    assert missed(without_the_pumps_pin(text, "  - id: pins_again\n")) == []


def test_turning_on_to_the_marks_begins_anew():
    """Three turns, and then on until the marks are up: where they are, the pins go in."""
    on = """  - id: turn_on
    number: 31a
    phase: prove
    title: Turn on to the marks
    act: Marks are up
    says: [Turn on clockwise until all marks are up.]
    asks: {belt: new, tension: set, crank_lock: out, cam_lock: out, pump_lock: out}
    does: [hands_in_drive, turn_crank, crank_at=anywhere, crank_at=marks]
  - id: pins_again
"""
    three = turned("2.9", "3.1", "3")
    assert any(each.way[-1] == "pins_again" for each in missed(van(three)))
    onward = missed(van(three, ("  - id: pins_again\n", on)))
    assert not any(each.way[-1] == "pins_again" for each in onward)
    assert any("mark of CAM" in each.message for each in onward), "after three turns it is not up"


# The tiny procedure with its pin in a driven wheel, its turns counted, and the pin in again.
PIN = ",\n       hole: {at: [-6, 18], pin: l1, condition: lock}}", "}"
CAM = "teeth: 48, side: inside, mark_deg: 93.53}"
CAM_PINNED = CAM[:-1] + ", hole: {at: [0, 310], pin: l1, condition: lock}}"
PUMP = "teeth: 36, side: inside, mark_deg: 18.3}"
PUMP_PINNED = PUMP[:-1] + ", hole: {at: [110, 160], pin: l1, condition: lock}}"
SIGNED = (
    "    asks: {lock: out}\n    does: [timing=proved]",
    "    does: [lock=in, timing=proved, lock=out]",
)
ANGLE = "label: angle turned, unit: °, low: 715, high: 725.0"


def tiny(wheel, pinned, *changes):
    return changed(TINY_SOURCE, PIN, (wheel, pinned), SIGNED, *changes)


def test_a_lock_that_goes_in_and_out_in_one_step_is_judged():
    assert missed(tiny(CAM, CAM_PINNED), TINY_RULES) == []
    (found,) = missed(tiny(PUMP, PUMP_PINNED), TINY_RULES)
    assert found.way[-1] == "sign"


def test_turns_that_are_counted_in_degrees_are_judged():
    """1,080 degrees are three turns: 24 x 3 / 36 = 2, 24 x 3 / 48 = 1 1/2."""
    three = (ANGLE, "label: angle turned, unit: °, low: 1075, high: 1085")
    assert missed(tiny(PUMP, PUMP_PINNED, three), TINY_RULES) == []
    assert missed(tiny(CAM, CAM_PINNED, three), TINY_RULES)


def test_turns_of_two_steps_are_added():
    """One turn and one turn bring a camshaft back, one turn alone does not."""
    again = """  - id: one_more
    number: 4a
    phase: on
    title: One turn more
    act: One turn more done
    says: [Turn once more.]
    asks: {lock: out}
    does: [turn_crank]
    proof:
      - {name: turned_more, kind: reading, label: turns, unit: turns, low: 0.9, high: 1.1}
  - id: sign
"""
    one = (ANGLE, "label: angle turned, unit: °, low: 355, high: 365")
    back = (
        "does: [lock=in, nut=loose, belt=off]\n    undo",
        "does: [nut=loose, belt=off]\n    undo",
    )
    assert missed(tiny(CAM, CAM_PINNED, one, back), TINY_RULES)
    both = tiny(CAM, CAM_PINNED, one, back, ("  - id: sign\n", again))
    assert missed(both, TINY_RULES) == []


def test_the_proof_tells_it_among_its_findings():
    def codes(text):
        proof = prove_compiled(compile_source(text.encode(), {}, TINY_RULES))
        return [each.code for each in proof.findings]

    assert "lock-does-not-return" in codes(tiny(PUMP, PUMP_PINNED))
    assert "lock-does-not-return" not in codes(tiny(CAM, CAM_PINNED))
