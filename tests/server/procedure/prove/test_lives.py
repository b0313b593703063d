"""
Parts have lives: each fault is planted into the van's source, and found by its name, at its line.
That a stretch bolt, a ring and a stud are used once is common practice, no source.
"""

import pytest

from demo_procedures import HATCH, ROADSIDE, VAN, text_of
from planted import found_in, planted, require_told
from procedure_folder import tiny_text
from twoturns.procedure.compile.compiler import compile_source
from twoturns.procedure.errors import SourceErrors
from twoturns.procedure.prove.lives import short_lived
from twoturns.procedure.prove.prove import prove_compiled

pytestmark = pytest.mark.slow(5)

BINNED = "    takes: {damper_bolt: 1}\n    bins: {damper_bolt: 1}\n"
DAMPER_OFF = "      - {name: damper_rubber, kind: photo, label: the damper's rubber}\n"
TO_MARKS = "crank_at=marks]\n    works_at: [damper_bolt]\n"
FOUR = "    bins: {mount_bolts: 4}\n"
STUD = "    takes: {stud: 1}\n"
IDLER_OFF = "    does: [hands_in_drive, idler=off]\n    undo: yes\n"
FINISHED = "      mount: final\n      covers: on\n"


def of_lives(text):
    compiled = compile_source(text.encode(), {})
    return found_in(text, lambda *parts: short_lived(*parts, compiled.metal))


PLANTED = {
    "two turns at a bolt that is in the bin": (
        [(BINNED, "    takes: {damper_bolt: 1}\n"),
         ("    does: [work_under, fly_lock=in, damper=off, fly_lock=out]\n    tools_out: "
          "[flywheel_lock]\n    tools_in: [flywheel_lock]\n    proof:", "    does: [work_under, "
          "fly_lock=in, damper=off, fly_lock=out]\n    bins: {damper_bolt: 1}\n    tools_out: "
          "[flywheel_lock]\n    tools_in: [flywheel_lock]\n    proof:")],
        "part-binned", "'15 Turn clockwise to the marks' works at the damper bolt",
        "- id: turn_to_marks",
    ),
    "two turns at the new bolt": (
        [(BINNED, "    bins: {damper_bolt: 1}\n"),
         ("crank_at=marks]\n    works_at: [damper_bolt]\n",
          "crank_at=marks]\n    takes: {damper_bolt: 1}\n    works_at: [damper_bolt]\n")],
        "part-used-up", "'31 Two full turns clockwise by hand' uses the new damper bolt",
        "- id: two_turns",
    ),
    "a stud that is used again": (
        [(STUD, "")], "part-again", "'23 New stud in, 14 N·m' fits the tensioner stud",
        "- id: stud_in",
    ),
    "a way back that fits an idler with its old bolt": (
        [(IDLER_OFF, "    does: [hands_in_drive, idler=off, idler=new, idler=torqued]\n    undo: "
          "yes\n")],
        "part-again", "'back: Idler off again' fits the idler bolt again", "- id: idler_off_again",
    ),
    "three old bolts for four new ones": (
        [(FOUR, FOUR.replace("4", "3"))], "parts-unbalanced",
        "3 of the old mount bolts go into the bin, and the kit has 4 new", "mount_bolts: {label:",
    ),
    "a cover that never comes on again": (
        [("drive_photo: taken, crank_lock: out, cam_lock: out, pump_lock: out, counterhold: off}\n"
          "    does: [hands_in_drive, covers=on]", "drive_photo: taken, crank_lock: out, cam_lock: "
          "out, pump_lock: out, counterhold: off}\n    does: [hands_in_drive]"),
         ("        leaves: {covers: off, drive_photo: unproved}\n", "        leaves: {drive_photo: "
          "unproved}\n")],
        "part-left-off", "the straight job ends and the timing covers are off", "- id: covers_off",
    ),
    "a part of the kit that no step fits": (
        [("  drain_ring: {label: drain plug ring,", "  hose: {label: hose, count: 1, condition: "
          "site}\n  cap: {label: cap, count: 1, condition: shafts}\n  drain_ring: {label: drain "
          "plug ring,"), ("target: 18, of: kit", "target: 20, of: kit")],
        "part-not-fitted", "the kit has cap, and no step fits it", "cap: {label: cap",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", [VAN, HATCH, ROADSIDE])
def test_the_parts_of_the_demos_live_once(name):
    assert of_lives(text_of(name)) == []


@pytest.mark.parametrize("fault", PLANTED)
def test_a_planted_fault_is_found_by_its_name_at_its_line(fault):
    changes, code, says, line = PLANTED[fault]
    text = planted(*changes)
    found = next(each for each in of_lives(text) if each.code == code)
    require_told(text, found, code, says, line)


def test_the_way_to_a_part_that_is_used_up_is_told():
    changes = PLANTED["two turns at the new bolt"][0]
    found = next(each for each in of_lives(planted(*changes)) if each.code == "part-used-up")
    assert (found.way[0], found.way[-1]) == ("confirm_vehicle", "two_turns")
    assert found.sequence[-1] == "31 Two full turns clockwise by hand"


@pytest.mark.parametrize("word", ["bins: {bolt: 1}", "works_at: [bolt]"])
def test_a_part_that_is_not_in_the_kit_is_refused_at_its_line(word):
    text = tiny_text().replace("    does: [lock=in]\n", f"    does: [lock=in]\n    {word}\n", 1)
    with pytest.raises(SourceErrors) as caught:
        compile_source(text.encode(), {})
    (problem,) = caught.value.problems
    assert (problem.code, problem.line) == ("unknown", text.splitlines().index(f"    {word}") + 1)


def test_what_is_only_for_the_check_is_not_in_the_bundle():
    bundle = compile_source(text_of(VAN).encode(), {}).bundle
    parts = [*bundle["kit"], *bundle["tools"], *bundle["conditions"], *bundle["steps"]]
    assert not {"condition", "behind", "bins", "works_at"} & {key for part in parts for key in part}


def test_the_proof_tells_it_among_its_findings():
    kit = "kit:\n  belt: {label: belt, count: 1, single_use: yes, condition: belt}\n\ndrive:\n"
    takes = tiny_text().replace("\ndrive:\n", "\n" + kit, 1)
    assert "part-again" in [
        each.code for each in prove_compiled(compile_source(takes.encode(), {})).findings
    ]
