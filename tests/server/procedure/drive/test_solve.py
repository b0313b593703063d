"""The drive block of a procedure: what a right one becomes, and what each wrong one says."""

import copy

import pytest

from drive_blocks import RIBBED_DRIVE, VAN_DRIVE
from twoturns.procedure.drive.block import DriveFault
from twoturns.procedure.drive.solve import drive
from twoturns.procedure.language import source


def test_the_van_is_solved_into_whole_micrometres():
    """Expected figures: the demo drive's own solver (one or two decimals of a millimetre)."""
    solved = drive(VAN_DRIVE)
    assert solved["belt"]["length_um"] == 1_120_000
    wheels = {wheel["id"]: wheel for wheel in solved["wheels"]}
    assert wheels["tensioner"]["x_um"] == pytest.approx(-60_620, abs=5)
    assert wheels["tensioner"]["y_um"] == pytest.approx(146_420, abs=5)
    assert wheels["tensioner"]["r_um"] == 32_600
    eccentric = wheels["tensioner"]["eccentric"]
    assert eccentric["pointer_mdeg"] == pytest.approx(224_760, abs=5)
    assert (eccentric["x_um"], eccentric["y_um"], eccentric["notch_mdeg"]) == (
        -56_000,
        151_000,
        224_800,
    )
    assert wheels["cam"]["hole"] == {
        "x_um": 0,
        "y_um": 281_000,
        "pin": "l2",
        "condition": "cam_lock",
    }
    assert solved["counts"][1] == {"from": "crank", "to": "cam", "teeth": 72}
    assert solved["span"] == {
        "from": "cam",
        "to": "pump",
        "length_um": pytest.approx(187_400, abs=50),
        "low_hz": "123.5",
        "target_hz": "133.9",
        "high_hz": "143.6",
    }


def test_every_tangent_point_lies_on_its_wheel():
    solved = drive(VAN_DRIVE)
    for wheel, arc in zip(solved["wheels"], solved["path"], strict=True):
        assert arc["wheel"] == wheel["id"]
        for x_um, y_um in (arc["in"], arc["out"]):
            square = (x_um - wheel["x_um"]) ** 2 + (y_um - wheel["y_um"]) ** 2
            assert square**0.5 == pytest.approx(wheel["r_um"], abs=2)


def test_a_bundle_holds_no_fractions():
    def leaves(node):
        if isinstance(node, dict):
            return [leaf for value in node.values() for leaf in leaves(value)]
        if isinstance(node, list):
            return [leaf for value in node for leaf in leaves(value)]
        return [node]

    assert {type(leaf) for leaf in leaves(drive(VAN_DRIVE))} == {int, str, bool}


def test_a_ribbed_belt_has_a_length_in_place_of_teeth():
    solved = drive(RIBBED_DRIVE)
    assert "teeth" not in solved["belt"]
    assert solved["belt"]["length_um"] == 1_245_000
    assert [solved["span"][f"{part}_hz"] for part in ("low", "target", "high")] == [
        "131.6",
        "142.7",
        "153.1",
    ]


def changed(*place_and_value):
    *place, value = place_and_value
    data = copy.deepcopy(VAN_DRIVE)
    node = data
    for part in place[:-1]:
        node = node[part]
    if value is None:
        del node[place[-1]]
    else:
        node[place[-1]] = value
    return data


WRONG = [
    # a belt of another length: 139 and 142 teeth are out of the eccentric's reach
    (("belt", "teeth", "139"), "out-of-reach", ("wheels",), "1112.0 mm does not fit"),
    (("belt", "teeth", "142"), "out-of-reach", ("wheels",), "reaches 1115.3 to 1130.4 mm"),
    # 141 fits, but with the pointer 64 degrees past the notch
    (("belt", "teeth", "141"), "notch-missed", ("wheels", 2, "notch_deg"), "21.1° or 288.3°"),
    (("counts", 1, "teeth", "71"), "count-wrong", ("counts", 1, "teeth"), "72.00 teeth"),
    # wheels in the wrong place
    (("wheels", 1, "at", ["-66", "66"]), "out-of-reach", ("wheels",), "does not fit"),
    (("wheels", 5, "at", ["50", "10"]), "not-round", ("wheels",), "does not go round at any"),
    (("wheels", 3, "hole", "at", ["0", "41"]), "value", ("wheels", 3, "hole", "at"), "outside"),
    (("order", ["crank", "cam"]), "value", ("order",), "does not name each wheel once"),
    (("span", "to", "idler"), "value", ("span", "to"), "do not follow each other"),
    (("span", "tension_n", "0"), "value", ("span", "tension_n"), "0 is not above 0"),
    (("span", "within_percent", "100"), "value", ("span", "within_percent"), "slack belt"),
    (("wheels", 0, "colour", "red"), "unknown-field", ("wheels", 0, "colour"), "'colour'"),
    (("belt", "pitch_mm", "8,0"), "value", ("belt", "pitch_mm"), "'8,0' is not a number"),
    (("belt", "teeth", "140.5"), "value", ("belt", "teeth"), "not a whole number"),
    (("belt", "width_mm", None), "missing", ("belt",), "'width_mm' is missing"),
    (("wheels", 2, "stud", None), "missing", ("wheels", 2), "'at' is missing"),
    (("wheels", 4, "id", "cam"), "value", ("wheels", 4, "id"), "two wheels 'cam'"),
    (("wheels", 4, "id", "Pump"), "value", ("wheels", 4, "id"), "not a name"),
    (("wheels", 4, "at", "118, 171"), "value", ("wheels", 4, "at"), "not a pair"),
    (("wheels", 3, "side", "outside"), "value", ("wheels", 3, "teeth"), "only the inside"),
    (("wheels", 3, "side", "left"), "value", ("wheels", 3, "side"), "inside, outside"),
    (("running", "left"), "value", ("running",), "none of clockwise, anticlockwise"),
    (("counts", 0, "to", "idler"), "value", ("counts", 0, "to"), "none of crank, cam, pump"),
    (("wheels", 3, "mark_deg", "-90"), "mark-off-belt", ("counts", 1), "not under the belt"),
    (("wheels", "none"), "value", ("wheels",), "not a list"),
    (("belt", "none"), "shape", ("belt",), "not a mapping"),
]


@pytest.mark.parametrize(("change", "code", "place", "words"), WRONG)
def test_a_wrong_figure_is_refused_at_its_place(change, code, place, words):
    with pytest.raises(DriveFault) as refused:
        drive(changed(*change))
    assert (refused.value.code, refused.value.place) == (code, place)
    assert words in str(refused.value)
    assert refused.value.hint.endswith((".", "'"))


def test_a_tensioner_is_needed_and_only_one():
    data = copy.deepcopy(VAN_DRIVE)
    data["wheels"][5] |= {"stud": ["62", "70"], "eccentric_mm": "2"}
    with pytest.raises(DriveFault, match="2 wheels have a stud, expected one"):
        drive(data)


def ring(third_x, belt_teeth):
    """Two wheels 300 mm apart, a third that bulges the upper span, a roller in the lower one."""
    return source.read(
        f"""
running: clockwise
belt: {{teeth: {belt_teeth}, pitch_mm: 8, width_mm: 25, back_mm: 1.6, pitch_line_mm: 3.9,
       mass_kg_per_m: 0.131}}
wheels:
  - {{id: left, label: L, at: [0, 0], teeth: 24, side: inside}}
  - {{id: third, label: T, at: [{third_x}, 12], teeth: 24, side: inside}}
  - {{id: right, label: R, at: [300, 0], teeth: 24, side: inside}}
  - {{id: roller, label: R, stud: [220, -45], eccentric_mm: 24, diameter_mm: 40, side: outside,
     notch_deg: 90, within_deg: 180}}
order: [left, third, right, roller]
counts: []
span: {{from: left, to: third, tension_n: 330, within_percent: 15}}
""".encode()
    ).data


def test_a_wheel_with_fewer_than_six_teeth_in_mesh_is_refused():
    with pytest.raises(DriveFault, match=r"only \d\.\d teeth of third are in mesh") as refused:
        drive(ring(third_x=80, belt_teeth=100))
    assert (refused.value.code, refused.value.place) == ("few-teeth", ("wheels", 1, "teeth"))


def test_a_wheel_that_stands_in_another_is_refused():
    with pytest.raises(DriveFault, match="third and roller overlap by") as refused:
        drive(ring(third_x=220, belt_teeth=100))
    assert refused.value.code == "collision"
