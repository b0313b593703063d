"""The fields of a drive block: what is missing or unknown is told at once, as `solve` has it."""

from copy import deepcopy

import pytest

from demo_procedures import HATCH, ROADSIDE, VAN, text_of
from twoturns.procedure.drive import solve
from twoturns.procedure.drive.block import DriveFault
from twoturns.procedure.drive.fields import PARTS, faults
from twoturns.procedure.language import source
from twoturns.words.en.procedure.drive.fields import FIELD

DRIVES = {
    name: source.read(text_of(name).encode()).data["drive"] for name in (VAN, HATCH, ROADSIDE)
}


def told(drive):
    return [(place, code) for place, _, _, code in faults(drive)]


@pytest.mark.parametrize("name", DRIVES)
def test_a_whole_drive_has_no_fault(name):
    assert told(DRIVES[name]) == []


def places_in(node, path=()):
    """Yield the path of each field of a block's mappings."""
    if isinstance(node, dict):
        for key, inner in node.items():
            yield (*path, key)
            yield from places_in(inner, (*path, key))
    elif isinstance(node, list):
        for at, inner in enumerate(node):
            yield from places_in(inner, (*path, at))


def without(drive, path):
    cut = deepcopy(drive)
    part = cut
    for step in path[:-1]:
        part = part[step]
    del part[path[-1]]
    return cut


#: Of the wheels a toothed one and the tensioner: the others have no field that these have not.
PLACES = [
    path
    for path in places_in(DRIVES[VAN])
    if path[0] != "wheels" or (path[1:2] or (0,))[0] in (0, 2)
]


@pytest.mark.parametrize("path", PLACES, ids=lambda path: ".".join(map(str, path)))
def test_what_solving_would_miss_is_told_beforehand_and_nothing_else(path):
    cut = without(DRIVES[VAN], path)
    try:
        solve.drive(cut)
        missed = set()
    except DriveFault as fault:
        missed = {fault.code} & {"missing", "unknown-field"}
    assert bool(told(cut)) == bool(missed)


def test_every_fault_is_told_at_once_with_the_nearest_word():
    drive = {
        "running": "clockwise",
        "belt": {"teeth": "100"},
        "wheels": [{"id": "crank", "lable": "C"}],
        "span": {},
    }
    found = [(message, hint) for _, message, hint, _ in faults(drive)]
    said = " ".join(message for message, _ in found)
    for word in ("order", "counts", "pitch_mm", "mass_kg_per_m", "side", "at or stud", "tension_n"):
        assert word in said
    unknown = ("wheels, number 1: 'lable' means nothing here", "Perhaps 'label' was meant.")
    assert unknown in found


def test_each_field_has_its_meaning_in_the_reference():
    assert FIELD.keys() == {f"{part}.{name}" for part, has in PARTS.items() for name in has.known}
