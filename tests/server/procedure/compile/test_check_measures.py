"""What a source may ask to be measured or drawn: words shared with the phone, ranges, reasons."""

import json
from pathlib import Path

import pytest

from tiny_procedure import TINY_RULES, TINY_SOURCE
from twoturns.procedure.compile.compiler import compile_source
from twoturns.procedure.errors import SourceErrors
from twoturns.procedure.language import vocabulary

SHARED = json.loads((Path(__file__).parents[3] / "vectors/vocabulary.json").read_text())
TOOL = "l1: {label: crank pin, outline: pin}"


def the_problem(old, new):
    assert TINY_SOURCE.count(old) == 1
    with pytest.raises(SourceErrors) as refused:
        compile_source(TINY_SOURCE.replace(old, new).encode(), {}, TINY_RULES)
    (found,) = refused.value.problems
    return found


def test_both_sides_know_the_same_words():
    known = {
        "signs": sorted(vocabulary.SIGNS),
        "drawings": sorted(vocabulary.DRAWINGS),
        "outlines": sorted(vocabulary.OUTLINES),
        "tool_units": vocabulary.TOOL_UNITS,
        "wait_unit": vocabulary.WAIT_UNIT,
    }
    assert known == SHARED


def test_a_sign_that_no_phone_draws_is_refused_with_the_one_that_was_meant():
    caution = (
        "    caution: {sign: no_turnin, says: The belt is off.}\n    does: [nut=loose, belt=off]"
    )
    found = the_problem("    does: [nut=loose, belt=off]", caution)
    assert (found.code, found.hint) == ("unknown", "Perhaps 'no_turning' was meant.")


def test_an_outline_that_no_phone_draws_is_refused():
    found = the_problem(TOOL, "l1: {label: crank pin, outline: peg}")
    assert found.code == "unknown"
    assert "pin" in found.hint


def test_a_tool_reaches_from_a_smaller_to_a_larger_figure():
    found = the_problem(TOOL, "l1: {label: crank pin, outline: pin, low: 50, high: 5, unit: N·m}")
    assert found.code == "window"


@pytest.mark.parametrize("because", ["n/a", "None.", "Not needed.", "- . -"])
def test_what_silences_a_rule_has_a_reason(because):
    found = the_problem("phases:\n", f"absent: {{high_voltage: '{because}'}}\nphases:\n")
    assert found.code == "absent-reason"
