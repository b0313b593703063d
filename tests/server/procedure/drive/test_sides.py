"""
What a drive's geometry says: the slack side, by which the server refuses and the phone draws, and
the way the tensioner tightens, which the phone shows.
"""

import copy

import pytest

from demo_procedures import HATCH, ROADSIDE, VAN, bundle_of
from drive_blocks import VAN_DRIVE
from twoturns.procedure.drive.block import DriveFault
from twoturns.procedure.drive.sides import slack_spans, tightens
from twoturns.procedure.drive.solve import drive

DRIVES = {name: bundle_of(name)["drive"] for name in (VAN, HATCH, ROADSIDE)}
SLACK = {
    "van-timing-drive": ["crank", "water_pump", "tensioner", "cam"],
    "hatch-timing-drive": ["crank", "tensioner", "exhaust"],
    "roadside-auxiliary-belt": ["crank", "tensioner", "alternator"],
}
# mm a degree, anticlockwise: the demo drives' own solver, by differences of the whole path.
SLOPES = {
    "van-timing-drive": 0.124,
    "hatch-timing-drive": 0.069,
    "roadside-auxiliary-belt": 1.258,
}


@pytest.mark.parametrize("name", DRIVES)
def test_the_slack_side_leads_from_the_driving_wheel_over_the_tensioner(peer, name):
    block = DRIVES[name]
    assert [wheel["id"] for wheel in block["wheels"]][: slack_spans(block) + 1] == SLACK[name]
    assert peer.call("drive_slack_spans", block) == slack_spans(block)


@pytest.mark.parametrize("name", DRIVES)
def test_teeth_are_counted_on_the_tight_side_only(name):
    """Teeth between marks are counted against the run: a slack span among them would hide one."""
    block = DRIVES[name]
    at = [wheel["id"] for wheel in block["wheels"]].index
    assert all(at(count["to"]) >= slack_spans(block) for count in block["counts"])


@pytest.mark.parametrize("name", DRIVES)
def test_the_tensioner_tightens_the_way_the_path_grows(peer, name):
    assert peer.call("drive_slope", DRIVES[name]) == pytest.approx(SLOPES[name], abs=6e-4)
    assert peer.call("drive_tightens", DRIVES[name]) == "anticlockwise" == tightens(DRIVES[name])


def mirrored(block):
    """The same drive seen in a mirror: all turns are the other way round."""
    other = copy.deepcopy(block)
    other["running"] = "anticlockwise"
    for wheel in other["wheels"]:
        for place in ("at", "stud"):
            if place in wheel:
                x = wheel[place][0]
                wheel[place][0] = x.removeprefix("-") if x.startswith("-") else f"-{x}"
        for angle in ("mark_deg", "notch_deg"):
            if angle in wheel:
                wheel[angle] = f"{180 - float(wheel[angle]):.2f}"
        wheel.pop("hole", None)
    return other


def test_in_a_mirror_the_sides_stay_and_the_turn_is_the_other(peer):
    plain = copy.deepcopy(VAN_DRIVE)
    solved = drive(mirrored(plain))
    assert slack_spans(solved) == slack_spans(drive(plain))
    assert peer.call("drive_slack_spans", solved) == slack_spans(solved)
    assert peer.call("drive_tightens", solved) == "clockwise"


def test_a_tensioner_on_the_tight_side_is_refused():
    """The van with its running direction turned: the same wheels, listed the way the belt runs."""
    block = copy.deepcopy(VAN_DRIVE)
    block["running"] = "anticlockwise"
    block["wheels"] = [block["wheels"][0], *reversed(block["wheels"][1:])]
    block["counts"] = []
    block["span"] = {**block["span"], "from": "pump", "to": "cam"}
    with pytest.raises(DriveFault) as caught:
        drive(block)
    assert caught.value.code == "tensioner-tight"
    assert caught.value.place == ("wheels", 4)
    assert (
        str(caught.value)
        == "the tensioner stands where the crank pulls the belt, not where it is slack"
    )
