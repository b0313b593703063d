"""The words of a source: each slip is told at its line, with what to do about it."""

import pytest

from tiny_procedure import TINY_SOURCE
from twoturns.procedure.errors import SourceErrors
from twoturns.procedure.language import schema, source


def load(text):
    return schema.load(source.read(text.encode()), schema.ProcedureSchema())


SLIPS = {
    "a misspelt field": ("    title: Pin in\n", "    titel: Pin in\n", ["missing", "unknown"]),
    "text with a comma in braces": (
        "label: the whole drive}",
        "label: the drive, whole}",
        ["unknown"],
    ),
    "a name with a capital": ("id: tiny\n", "id: Tiny\n", ["name"]),
    "a number in words": ("edition: 1\n", "edition: one\n", ["whole"]),
    "a number with a unit": ("low: 715,", "low: 715°,", ["decimal"]),
    "a number with a leading zero": ("low: 715,", "low: 0715,", ["decimal"]),
    "a yes by another name": ("    undo: yes\n", "    undo: true\n", ["yes-no"]),
    "an empty text": ("    title: Pin in\n", "    title:\n", ["empty"]),
    "a list where one text belongs": (
        "    title: Pin in\n",
        "    title: [Pin, in]\n",
        ["text"],
    ),
    "one text where a list belongs": (
        "    says: [Sign.]\n",
        "    says: Sign.\n",
        ["list"],
    ),
    "a list with nothing in it": ("    says: [Sign.]\n", "    says: []\n", ["empty"]),
    "a condition that never changes": ("        loose: the nut is loose\n", "", ["values"]),
    "a kind of proof that is none": ("kind: photo", "kind: picture", ["choice"]),
    "a reading without a limit": (", low: 715, high: 725.0}", "}", ["value"]),
    "a reading without a unit": (", unit: °", "", ["missing"]),
    "a photo with a limit": ("kind: photo,", "kind: photo, low: 1,", ["value"]),
    "an instrument that reads in another unit": (
        "unit: °, ",
        "unit: °, by: [pluck, hand], ",
        ["value"],
    ),
    "a way that is none": ("unit: °, ", "unit: °, by: [eye], ", ["choice"]),
    "a way named twice": ("unit: °, ", "unit: °, by: [turn, turn], ", ["value"]),
    "a way behind the hand": ("unit: °, ", "unit: °, by: [hand, turn], ", ["value"]),
    "a choice in which nothing is right": (
        "{id: freely, says: freely}",
        "{id: freely, says: freely, ok: no}",
        ["value"],
    ),
    "a count of nothing": (", target: 72", "", ["missing"]),
    "a void that is no move": ("  nut=loose: turns", "  nut: turns", ["move"]),
    "a deed that is neither": ("does: [lock=in]", "does: [lock = in]", ["deed"]),
    "a title too long for a phone": ("title: Pin in", "title: " + "x" * 49, ["value"]),
}


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_is_told(slip):
    old, new, codes = SLIPS[slip]
    assert TINY_SOURCE.count(old) == 1
    with pytest.raises(SourceErrors) as error:
        load(TINY_SOURCE.replace(old, new))
    assert sorted(each.code for each in error.value.problems) == sorted(codes)
    line = TINY_SOURCE[: TINY_SOURCE.index(old)].count("\n") + 1
    # What is missing stands at the mapping that lacks it, which begins a line or two earlier.
    assert all(line - 3 <= each.line <= line for each in error.value.problems)
    assert all(each.hint for each in error.value.problems)


def test_a_misspelt_field_names_its_neighbour():
    with pytest.raises(SourceErrors) as error:
        load(TINY_SOURCE.replace("    title: Pin in\n", "    titel: Pin in\n"))
    hints = {each.code: each.hint for each in error.value.problems}
    assert hints["unknown"] == "Perhaps 'title' was meant."


def test_a_slip_deep_in_a_list_names_the_way_to_it():
    with pytest.raises(SourceErrors) as error:
        load(TINY_SOURCE.replace("low: 715,", "low: many,"))
    assert "steps, number 4, proof, number 1, low is not a decimal number" in str(error.value)


def test_what_may_be_left_out_is_filled_in():
    step = load(TINY_SOURCE)["steps"][0]
    assert (step["proof"], step["fails"], step["undo"], step["once"]) == ([], [], False, False)
    assert "must" not in step


@pytest.mark.parametrize(
    "unit", ["unit: °, low: 715, high: 725.0", "unit: turns, low: 1.9, high: 2.1"]
)
def test_the_gyro_reads_degrees_or_turns(unit):
    source = TINY_SOURCE.replace("unit: °, low: 715, high: 725.0", f"{unit}, by: [turn, hand]")
    assert load(source)["steps"][3]["proof"][0]["by"] == ["turn", "hand"]


def test_a_decimal_stays_as_it_was_written():
    assert load(TINY_SOURCE)["steps"][3]["proof"][0]["high"] == "725.0"
