"""The drawing: the server's and the phone's are the same, and its words lie on nothing."""

import json
import math
import re
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import pytest

from twoturns.procedure import source
from twoturns.procedure.draw import THEMES, State, View, in_words, shapes, state_of, svg
from twoturns.procedure.drive import drive
from van_drive import VAN_DRIVE

VAN = drive(VAN_DRIVE)
RIBBED = drive(
    source.read(
        b"""
running: clockwise
belt: {length_mm: 1245, width_mm: 21.4, back_mm: 2.6, pitch_line_mm: 0, mass_kg_per_m: 0.108}
wheels:
  - {id: crank, label: CRANK, at: [0, 0], diameter_mm: 152, side: inside}
  - {id: tensioner, label: ARM, side: outside, diameter_mm: 70, stud: [-150, 178],
     eccentric_mm: 80, notch_deg: -60.56, within_deg: 2}
  - {id: alternator, label: ALTERNATOR, at: [-168, 236], diameter_mm: 56, side: inside}
  - {id: idler, label: IDLER, at: [40, 170], diameter_mm: 72, side: outside}
  - {id: compressor, label: COMPRESSOR, at: [190, 60], diameter_mm: 118, side: inside}
order: [crank, alternator, idler, compressor, tensioner]
counts: []
span: {from: alternator, to: idler, tension_n: 380, within_percent: 15}
"""
    ).data
)
VECTOR = json.loads((Path(__file__).parents[2] / "vectors" / "drive.json").read_text())
TAGS = {"l1": "L1", "l2": "L2", "l3": "L3"}
ALL_IN = {"crank": True, "cam": True, "pump": True}

SCENES = {
    "all pins in, look at the tensioner": (
        VAN,
        State("new", ALL_IN),
        View(218, 340, "end", ["tensioner"], TAGS, leader_to=(-10, 90)),
    ),
    "one pin in, look at it": (
        VAN,
        State("new", {"crank": True, "cam": False, "pump": False}),
        View(226, 350, "end", ["l1"], TAGS),
    ),
    "small, pluck": (VAN, State("new", ALL_IN), View(140, 215, tags=TAGS, pluck=True)),
    "one pin not known, old belt": (
        VAN,
        State("old", {"crank": True, "cam": None}),
        View(200, 330, "start", tags=TAGS),
    ),
    "counts, three looked at": (
        VAN,
        State("new", ALL_IN),
        View(360, 420, "middle", ["crank", "cam", "pump"], TAGS, counts=True),
    ),
    "belt and rollers off": (
        VAN,
        State("off", ALL_IN, ["tensioner", "idler", "water_pump"]),
        View(360, 400, "middle", ["idler"], {}),
    ),
    "a ribbed belt": (RIBBED, State("new"), View(332, 300, "middle", ["compressor"], pluck=True)),
}


def phone_form(state, view):
    """State and view as the phone's code names them."""
    seen = {
        "width": view.width,
        "height": view.height,
        "align": view.align,
        "look": list(view.look),
        "tags": dict(view.tags),
        "pluck": view.pluck,
        "counts": view.counts,
    }
    if view.leader_to:
        seen["leaderTo"] = list(view.leader_to)
    return {"belt": state.belt, "pins": dict(state.pins), "gone": list(state.gone)}, seen


def apart(ours, theirs):
    """The largest difference of two shapes' numbers; infinite where anything else differs."""
    number = re.compile(r"-?\d+(?:\.\d+)?")
    if ours.keys() != theirs.keys():
        return math.inf
    worst = 0.0
    for field in ours:
        a, b = str(ours[field]), str(theirs[field])
        if number.sub("#", a) != number.sub("#", b) and not isinstance(ours[field], int | float):
            return math.inf
        pairs = zip(number.findall(a), number.findall(b), strict=True)
        worst = max([worst, *(abs(float(x) - float(y)) for x, y in pairs)])
    return worst


@pytest.mark.parametrize("scene", SCENES)
def test_the_phone_and_the_server_draw_the_same(peer, scene):
    block, state, view = SCENES[scene]
    theirs = peer.call("drive_shapes", block, *phone_form(state, view))
    ours = shapes(block, state, view)
    assert len(ours) == len(theirs)
    assert max(apart(a, b) for a, b in zip(ours, theirs, strict=True)) <= 0.1001
    words = peer.call("drive_words", block, *phone_form(state, view))
    assert in_words(block, state, view) == words


CONDITIONS = [
    {},
    {"belt": ["off"], "ten": ["off"], "wp": ["off", "new"], "crank_lock": ["in"]},
    {"belt": ["old"], "crank_lock": ["out"], "cam_lock": ["in", "out"], "idl": ["new"]},
    {"belt": ["off", "new"], "pump_lock": ["in"]},
]


@pytest.mark.parametrize("possible", CONDITIONS)
def test_the_phone_and_the_server_read_conditions_the_same_way(peer, possible):
    ours = state_of(VAN, possible)
    theirs = peer.call("drive_state", VAN, possible)
    assert {"belt": ours.belt, "pins": ours.pins, "gone": ours.gone} == theirs


def test_the_drive_that_the_phone_tests_draw_is_the_one_solved_here():
    assert VECTOR["drive"] == VAN


def test_a_state_in_sentences():
    state = State("old", {"crank": True, "cam": None}, ["idler"])
    view = View(look=["l2", "tensioner"], tags=TAGS, pluck=True, counts=True)
    assert in_words(VAN, state, view) == (
        "The drive, seen from the belt end. The old belt is on. Pin L1 is in. Pin L3 is out. "
        "Pin L2 may be in or out. Off the engine: the idler. Look at pin L2 and the tensioner. "
        "Pluck the span from the cam to the pump. "
        "39 teeth from the mark of the crank to that of the pump. "
        "72 teeth from the mark of the crank to that of the cam."
    )


def box_of(shape):
    """The smallest box a word can be drawn in, a little inside the room kept for it."""
    half = len(shape["text"]) * 5.6
    return shape["x"] - half, shape["y"] - 13.2, shape["x"] + half, shape["y"]


def reach(box, x, y):
    left, top, right, bottom = box
    return math.hypot(max(left - x, 0, x - right), max(top - y, 0, y - bottom))


@pytest.mark.parametrize("scene", SCENES)
def test_no_word_lies_on_a_wheel_or_another_word_or_outside_the_box(scene):
    block, state, view = SCENES[scene]
    drawn = shapes(block, state, view)
    words = [shape for shape in drawn if shape["kind"] == "text" and shape["size"] == 19]
    wheels = {(s["cx"], s["cy"]): s["r"] for s in reversed(drawn) if s["kind"] == "circle"}
    biggest = sorted(wheels.items(), key=lambda item: -item[1])[: len(block["wheels"])]
    for word in words:
        left, top, right, bottom = box = box_of(word)
        assert min(left, top, view.width - right, view.height - bottom) >= 0, word["text"]
        assert all(reach(box, x, y) >= r for (x, y), r in biggest), word["text"]
    for index, a in enumerate(map(box_of, words)):
        for b in map(box_of, words[index + 1 :]):
            assert a[2] < b[0] or b[2] < a[0] or a[3] < b[1] or b[3] < a[1]


def test_every_mark_and_pin_in_sight_is_named():
    block, state, view = SCENES["counts, three looked at"]
    named = {s["text"] for s in shapes(block, state, view) if s["kind"] == "text"}
    assert named == {"L1", "L2", "L3", "CRANK", "CAM 72", "PUMP 39"}


def kinds(state, **view):
    drawn = shapes(VAN, state, View(tags=TAGS, **view))
    return [
        (shape["kind"], shape.get("dash"), shape.get("length"), shape.get("text"))
        for shape in drawn
    ]


def test_every_state_has_a_shape_of_its_own_not_only_a_colour():
    drawn = [
        kinds(State("new", ALL_IN)),
        kinds(State("old", ALL_IN)),
        kinds(State("off", ALL_IN)),
        kinds(State("new", {**ALL_IN, "cam": False})),
        kinds(State("new", {**ALL_IN, "cam": None})),
        kinds(State("new", ALL_IN, ["idler"])),
        kinds(State("new", ALL_IN), look=["l2"]),
        kinds(State("new", ALL_IN), look=["cam"]),
        kinds(State("new", {**ALL_IN, "cam": False}), look=["l2"]),
        kinds(State("new", ALL_IN), pluck=True),
    ]
    assert len({tuple(each) for each in drawn}) == len(drawn)


def test_the_belt_has_as_many_teeth_as_it_has():
    teeth = [s["length"] for s in shapes(VAN, State(), View()) if "length" in s]
    assert sorted(teeth) == [2 * n for n in (21, 24, 36, 48, 140)]


@pytest.mark.parametrize("theme", THEMES)
def test_the_svg_is_well_formed_and_uses_only_the_theme(theme):
    text = svg(VAN, {"crank_lock": ["in"], "belt": ["old"]}, ["l1", "idler"], theme, tags=TAGS)
    root = ElementTree.fromstring(text)  # noqa: S314 - our own text
    assert root[0].text == root.get("aria-label")
    assert "Pin L1 is in." in root[0].text
    used = {value for e in root.iter() for k, value in e.items() if k in ("fill", "stroke")}
    assert used <= {*THEMES[theme].values(), "none"}


def test_a_label_cannot_break_out_of_the_svg():
    block = {**VAN, "wheels": [{**VAN["wheels"][0], "label": '<b>"&'}, *VAN["wheels"][1:]]}
    root = ElementTree.fromstring(svg(block))  # noqa: S314 - our own text
    texts = [e.text for e in root.iter() if e.tag.endswith("text")]
    assert '<b>"&' in texts
