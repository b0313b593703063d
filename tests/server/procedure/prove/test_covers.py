"""
What covers what: parts that come off or go on in an order that no engine allows, planted into the
van's source and found in every state. Which part covers which is common practice, no source.
"""

import pytest

from demo_procedures import HATCH, VAN, text_of
from planted import found_in, line_of, moved, planted
from procedure_folder import tiny_text
from twoturns.procedure.compile.compiler import compile_source
from twoturns.procedure.errors import SourceErrors
from twoturns.procedure.prove.covers import hidden
from twoturns.procedure.prove.prove import prove_compiled

pytestmark = pytest.mark.slow(5)

NUT, LABEL = "    nut:\n      label: tensioner nut\n", "      label: tensioner nut\n"
GUARD = """\
    guard:
      label: guard
      values:
        on: the guard is on
        off: the guard is off
"""
BELT_OFF = "does: [nut=loose, belt=off]\n    fails"
BACK = "does: [lock=in, nut=loose, belt=off]\n    undo"


def guarded(behind, *, off_at="belt_off"):
    """The tiny procedure with a guard, what lies behind it, and where it comes off."""
    guard = GUARD.replace("values", f"behind: [{behind}]\n      values")
    changes = [(NUT, guard + NUT), (BACK, BACK.replace("[", "[guard=off, "))]
    if off_at == "belt_off":
        changes += [
            (BELT_OFF, BELT_OFF.replace(" belt", " guard=off, belt")),
            ("        look: [belt]\n", "        look: [belt, guard]\n"),
        ]
    else:
        changes.append(("does: [lock=in]\n", "does: [guard=off, lock=in]\n"))
    text = tiny_text()
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def findings(text):
    return prove_compiled(compile_source(text.encode(), {})).findings


def test_a_nut_that_is_loosened_before_its_guard_is_off_is_found_with_the_way_there():
    text = guarded("nut, belt")
    (found, *more) = [each for each in findings(text) if each.code == "moved-behind"]
    assert found.message == "'2 Belt off' reaches the tensioner nut, and the guard is on"
    assert line_of(text, found) == "- id: belt_off"
    assert found.sequence == ("1 Pin in", "2 Belt off")
    assert more == [], "the belt comes off after the guard, and the way back takes it off first"


def test_what_comes_off_first_and_stays_off_is_no_fault():
    assert [e for e in findings(guarded("nut, belt", off_at="lock_in")) if "behind" in e.code] == []


def test_a_step_that_covers_a_part_again_before_it_moves_is_found():
    text = guarded("nut, belt", off_at="lock_in").replace(
        "does: [belt=new, nut=tight]", "does: [belt=new, guard=on, nut=tight]"
    )
    found = [each for each in findings(text) if each.code == "moved-behind"]
    assert "'3 New belt on' reaches the tensioner nut" in found[0].message


@pytest.mark.parametrize("name", [VAN, HATCH])
def test_nothing_of_the_demos_is_looked_at_while_it_is_hidden(name):
    assert looked_at(text_of(name)) == []


def looked_at(text):
    compiled = compile_source(text.encode(), {})
    return found_in(text, lambda *parts: hidden(*parts, compiled.metal.covers))


def test_a_look_at_the_pump_under_its_covers_is_found():
    text = planted(
        ("    torque: {nm: 47, angle", "    look: [water_pump]\n    torque: {nm: 47, angle")
    )
    (found,) = looked_at(text)
    assert found.code == "looked-at-hidden"
    assert found.message == (
        "'37 Mount on, 47 N·m and 85°' looks at WATER PUMP, and the timing covers are on"
    )
    assert line_of(text, found) == "- id: mount_on"


def test_covers_that_come_off_before_the_damper_that_holds_them_are_found():
    """The order that the van had once: the lower cover off at 13, the damper at 15."""
    opens = "    does: [hands_in_drive, covers=off, belt_found=whole]"
    asks = "    asks: {battery: off, aux: off, mount: off"
    text = planted(
        (f"{asks}, damper: off, belt_found: [unknown, whole]}}\n{opens}", f"{asks}}}\n{opens}"),
        ("damper_off\n    number: 13", "damper_off\n    number: 14"),
        ("covers_off\n    number: 14", "covers_off\n    number: 13"),
    )
    text = moved(text, "covers_off", "damper_off")
    found = next(each for each in findings(text) if each.code == "moved-behind")
    assert found.message == (
        "'13 Upper and lower covers off' reaches the timing covers, and the damper is on, untouched"
    )
    assert line_of(text, found) == "- id: covers_off"
    assert found.sequence[-1] == "13 Upper and lower covers off"


def refused(text):
    with pytest.raises(SourceErrors) as caught:
        compile_source(text.encode(), {})
    return [(each.code, each.line) for each in caught.value.problems]


@pytest.mark.parametrize(
    ("behind", "code"),
    [("[nonsense]", "unknown"), ("[turns]", "unknown"), ("[lock]", "behind-away")],
)
def test_what_cannot_cover_is_refused_at_its_line(behind, code):
    text = tiny_text().replace(LABEL, LABEL + f"      behind: {behind}\n")
    if code == "unknown":
        text = text.replace("loose: the nut is loose", "off: the nut is off").replace(
            "nut=loose", "nut=off"
        )
    line = text.splitlines().index(f"      behind: {behind}") + 1
    assert (code, line) in refused(text)


def test_a_proof_covers_nothing():
    label = "      label: two turns by hand\n"
    text = tiny_text().replace(label, label + "      behind: [belt]\n")
    assert [code for code, _ in refused(text)] == ["behind-proof"]
