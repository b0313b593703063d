"""The drawing: the server's and the phone's are the same, and its words lie on nothing."""

import dataclasses
import json
import math
import re
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from demo_procedures import HATCH, ROADSIDE, bundle_of
from demo_procedures import VAN as VAN_JOB
from drive_blocks import RIBBED_DRIVE, VAN_DRIVE
from twoturns.procedure.drive.draw import THEMES, in_words, state_of, step_view, svg
from twoturns.procedure.drive.shapes import shapes
from twoturns.procedure.drive.sheet import SHRINK, Sheet, State, View
from twoturns.procedure.drive.solve import drive
from twoturns.procedure.prove.packed import Packed
from twoturns.procedure.prove.straight import straight_run

ROOT = Path(__file__).parents[4]
DEMOS = {name: bundle_of(name) for name in (VAN_JOB, HATCH, ROADSIDE)}
VAN = drive(VAN_DRIVE)
RIBBED = drive(RIBBED_DRIVE)
VECTOR = json.loads((ROOT / "tests" / "vectors" / "drive.json").read_text())
TAGS = {"l1": "L1", "l2": "L2", "l3": "L3"}
ALL_IN = {"crank": True, "cam": True, "pump": True}
ALL = [wheel["id"] for wheel in VAN["wheels"]]

SCENES = {
    "all pins in, look at the tensioner": (
        VAN,
        State("new", ALL_IN),
        View(218, 340, ["tensioner"], TAGS),
    ),
    "one pin in, look at it": (
        VAN,
        State("new", {"crank": True, "cam": False, "pump": False}),
        View(226, 350, ["l1"], TAGS),
    ),
    "small, pluck": (VAN, State("new", ALL_IN), View(140, 215, tags=TAGS, pluck=True)),
    "one pin not known, old belt": (
        VAN,
        State("old", {"crank": True, "cam": None}),
        View(200, 330, tags=TAGS),
    ),
    "three looked at": (
        VAN,
        State("new", ALL_IN),
        View(360, 420, ["crank", "cam", "pump"], TAGS),
    ),
    "the belt goes on": (VAN, State("off", ALL_IN), View(360, 420, ALL, TAGS, fitting=True)),
    "the belt goes on, small": (VAN, State("off"), View(332, 190, ALL, TAGS, fitting=True)),
    "the belt is on, its order": (VAN, State("old"), View(360, 420, tags=TAGS, fitting=True)),
    "the loupe": (VAN, State("new", ALL_IN), View(332, 300, ["tensioner", "cam"], loupe=True)),
    "the loupe, small": (VAN, State("new"), View(196, 190, ["tensioner"], loupe=True)),
    "no loupe of a roller that is off": (
        VAN,
        State("new", {}, ["tensioner"]),
        View(332, 300, loupe=True),
    ),
    "everything": (VAN, State("old"), View(480, 480, tags=TAGS, fitting=True, loupe=True)),
    "everything is looked at": (VAN, State("new"), View(332, 150, ALL)),
    "belt and rollers off": (
        VAN,
        State("off", ALL_IN, ["tensioner", "idler", "water_pump"]),
        View(360, 400, ["idler"], {}),
    ),
    "a ribbed belt goes on": (RIBBED, State("off"), View(332, 190, fitting=True, loupe=True)),
    "a ribbed belt": (RIBBED, State("new"), View(332, 300, ["compressor"], pluck=True)),
}


def phone_form(state, view):
    """State and view as the phone's code names them."""
    seen = {**dataclasses.asdict(view), "look": list(view.look), "tags": dict(view.tags)}
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
    view = View(look=["l2", "tensioner"], tags=TAGS, pluck=True)
    assert in_words(VAN, state, view) == (
        "The drive, seen from the belt end. The old belt is on. Pin L1 is in. Pin L3 is out. "
        "Pin L2 may be in or out. Off the engine: the idler. Look at pin L2 and the tensioner. "
        "Pluck the span from the cam to the pump."
    )


def test_the_way_the_belt_goes_on_in_sentences():
    view = View(look=ALL, tags=TAGS, fitting=True, loupe=True)
    assert in_words(VAN, State("off", ALL_IN), view) == (
        "The drive, seen from the belt end. The belt is off. Pins L1, L2 and L3 are in. "
        "The belt goes on in this order: crank, idler, pump, cam, tensioner, water pump. "
        "It is slack from the crank over the water pump and the tensioner to the cam, "
        "and tight from there back to the crank. "
        "39 teeth from the mark of the crank to that of the pump. "
        "72 teeth from the mark of the crank to that of the cam. "
        "To tighten the belt, the tensioner turns anticlockwise."
    )


def box_of(shape):
    """The smallest box a word can be drawn in, a little inside the room kept for it."""
    half = len(shape["text"]) * (4.4 if shape["text"].islower() else 5.6)
    return shape["x"] - half, shape["y"] - 13.2, shape["x"] + half, shape["y"]


def reach(box, x, y):
    left, top, right, bottom = box
    return math.hypot(max(left - x, 0, x - right), max(top - y, 0, y - bottom))


def belt_points(drawn):
    """Points on the straight spans of all belt lines, a pixel apart."""
    points = []
    for d in (shape["d"] for shape in drawn if shape["kind"] == "path" and "A" in shape["d"]):
        at = (0.0, 0.0)
        for command, words in re.findall(r"([MLA])([^MLAZ]*)", d):
            *_, x, y = map(float, words.split())
            steps = math.ceil(math.dist(at, (x, y))) if command == "L" else 0
            points += [
                (at[0] + (x - at[0]) * i / steps, at[1] + (y - at[1]) * i / steps)
                for i in range(steps)
            ]
            at = x, y
    return points


def lie_free(drawn, view):
    """Words lie on no wheel, belt or other word, numbers and pins not on each other."""
    texts = [shape for shape in drawn if shape["kind"] == "text" and shape["size"] == 19]
    words = [shape for shape in texts if not shape["text"].isdigit()]
    circles = [shape for shape in drawn if shape["kind"] == "circle"]
    for word in words:
        left, top, right, bottom = box = box_of(word)
        assert min(left, top, view.width - right, view.height - bottom) >= 0, word["text"]
        for wheel in (shape for shape in circles if shape["r"] > 12):
            assert reach(box, wheel["cx"], wheel["cy"]) >= wheel["r"], word["text"]
        assert all(reach(box, *point) > 2 for point in belt_points(drawn)), word["text"]
    for index, a in enumerate(map(box_of, texts)):
        for b in map(box_of, texts[index + 1 :]):
            assert a[2] < b[0] or b[2] < a[0] or a[3] < b[1] or b[3] < a[1]
    discs = [(shape["cx"], shape["cy"], shape["r"]) for shape in circles if is_disc(shape)]
    for index, (x, y, r) in enumerate(discs):
        assert all(math.hypot(x - a, y - b) >= r + c for a, b, c in discs[index + 1 :])


def is_disc(shape):
    """A number's disc, or a pin that is in."""
    return shape.get("stroke") == "ground" and shape.get("fill") in ("act", "ink")


@pytest.mark.parametrize("scene", SCENES)
def test_no_word_lies_on_a_wheel_the_belt_or_another_word_or_outside_the_box(scene):
    block, state, view = SCENES[scene]
    lie_free(shapes(block, state, view), view)


def numbers_and_words(drawn):
    texts = [shape["text"] for shape in drawn if shape["kind"] == "text"]
    return [t for t in texts if t.isdigit()], {t for t in texts if not t.isdigit()}


def rings_of(drawn):
    return [s for s in drawn if s["kind"] == "circle" and s.get("width") == 4.5 and "fill" not in s]


def states_of(whole):
    """What the drive is like before each step of the straight job."""
    packed = Packed(whole["machine"])
    conditions = list(enumerate(whole["machine"]["conditions"]))
    return {
        at: state_of(
            whole["drive"], {c["id"]: [c["values"][packed.value(before, i)]] for i, c in conditions}
        )
        for at, before, _ in straight_run(packed)
    }


@pytest.mark.parametrize("name", DEMOS)
def test_the_author_sees_all_that_the_geometry_of_a_demo_says(name):
    block, view = DEMOS[name]["drive"], View(480, 480, fitting=True, loupe=True)
    drawn = shapes(block, State("old"), view)
    lie_free(drawn, view)
    numbers, words = numbers_and_words(drawn)
    labels = {wheel["id"]: wheel["label"] for wheel in block["wheels"]}
    assert len(numbers) == len(labels)
    assert {f"{labels[count['to']]} {count['teeth']}" for count in block["counts"]} <= words
    assert {"slack", "tight"} <= words
    assert ("TIGHTER" in words) == (name != "roadside-auxiliary-belt")


@pytest.mark.parametrize("name", DEMOS)
def test_every_step_of_the_demos_is_drawn_whole_at_the_size_the_phone_has(name):
    drawn_sides = []
    block = DEMOS[name]["drive"]
    for at, state in states_of(DEMOS[name]).items():
        step = DEMOS[name]["steps"][at]
        on_view = step_view(DEMOS[name], at, state)
        is_beside = "caution" in step and len(step["look"]) < 3  # the screen of a step
        is_wide = on_view.fitting or on_view.loupe or not is_beside
        view = dataclasses.replace(on_view, width=332 if is_wide else 196, height=190)
        drawn = shapes(block, state, view)
        lie_free(drawn, view)
        rings = rings_of(drawn)
        for index, a in enumerate(rings):
            for b in rings[index + 1 :]:
                apart = math.hypot(a["cx"] - b["cx"], a["cy"] - b["cy"])
                assert apart >= a["r"] + b["r"] + 4.5, step["id"]
        numbers, words = numbers_and_words(drawn)
        if view.fitting:
            drawn_sides.append(words & {"slack", "tight"})
            assert sorted(numbers) == [str(n) for n in range(1, len(block["wheels"]) + 1)]
            assert {f"{c['teeth']}" for c in block["counts"]} <= {w.split()[-1] for w in words}
        else:
            named = {w["label"] for w in block["wheels"] if w["id"] in view.look}
            if view.loupe:
                named -= {w["label"] for w in block["wheels"] if "eccentric" in w}
            # Beside a caution a long name may have no place: the ring says where.
            assert named <= words or not is_wide, step["id"]
        assert ("TIGHTER" in words) == view.loupe, step["id"]
    assert drawn_sides == [{"slack", "tight"}]


def test_the_phone_and_the_server_show_the_same_at_every_step(peer):
    for each in map(asked_for_a_view, DEMOS.values()):
        for at in range(len(each["steps"])):
            for belt in ("old", "new", "off"):
                theirs = peer.call("drive_view", each, at, {"belt": belt})
                ours = dataclasses.asdict(step_view(each, at, State(belt)))
                assert theirs == {name: ours[name] for name in theirs}


def asked_for_a_view(whole):
    """Of a bundle what a view is made from, so that little goes to the other side each time."""
    steps = [{name: step[name] for name in ("look", "undo", "proof")} for step in whole["steps"]]
    machine = {
        "conditions": [
            {name: c[name] for name in ("id", "values")} for c in whole["machine"]["conditions"]
        ],
        "steps": [
            {name: step[name] for name in ("guard", "effect")} for step in whole["machine"]["steps"]
        ],
    }
    return {"drive": whole["drive"], "tools": whole["tools"], "steps": steps, "machine": machine}


def test_the_loupe_comes_when_the_tensioner_is_set_and_when_its_nut_is_tightened():
    van = DEMOS["van-timing-drive"]
    states = {"old": State("old"), "off": State("off"), "new": State("new")}
    shown = {
        belt: [s["id"] for at, s in enumerate(van["steps"]) if step_view(van, at, state).loupe]
        for belt, state in states.items()
    }
    assert (shown["old"], shown["off"]) == ([], [])
    assert {"set_pointer", "tighten_nut"} <= set(shown["new"])
    assert not {"nut_loose", "pins_again", "belt_on"} & set(shown["new"])
    arm = DEMOS["roadside-auxiliary-belt"]  # set by its spring, without a pointer
    assert not any(step_view(arm, at, State("new")).loupe for at in range(len(arm["steps"])))


def test_every_mark_and_pin_in_sight_is_named():
    block, state, view = SCENES["three looked at"]
    named = {s["text"] for s in shapes(block, state, view) if s["kind"] == "text"}
    assert named == {"L1", "L2", "L3", "CRANK", "CAM", "PUMP"}


def test_the_belt_is_in_two_parts_that_make_the_whole():
    sheet = Sheet(VAN, State(), View(), SHRINK[0])
    slack, tight = sheet.sides(0)
    whole = sheet.path(0)
    # The tight side ends where the slack side begins, the other way round as well.
    assert tight.rsplit(" ", 2)[-2:] == re.split("[ML]", slack)[1].split()
    assert re.split("[ML]", tight)[1].startswith(re.split("L", slack)[-1])
    assert slack.count("A") + tight.count("A") == whole.count("A") == 6


def kinds(state, **view):
    drawn = shapes(VAN, state, View(tags=TAGS, **view))
    return [
        (*(shape.get(name) for name in ("kind", "dash", "length", "text")), is_cut(shape))
        for shape in drawn
    ]


def is_cut(shape):
    """A line in the colour of the ground makes the shape under it hollow."""
    return shape.get("stroke") == "ground"


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
        kinds(State("new", ALL_IN), look=["tensioner"], loupe=True),
        kinds(State("new", ALL_IN), fitting=True),
        kinds(State("off", ALL_IN), fitting=True),
    ]
    assert len({tuple(each) for each in drawn}) == len(drawn)


def test_the_belt_has_as_many_teeth_as_it_has():
    teeth = [s["length"] for s in shapes(VAN, State(), View()) if "length" in s]
    assert sorted(teeth) == [2 * n for n in (21, 24, 36, 48, 140)]


@pytest.mark.parametrize("theme", THEMES)
def test_the_svg_is_well_formed_and_uses_only_the_theme(theme):
    state = state_of(VAN, {"crank_lock": ["in"], "belt": ["old"]})
    text = svg(VAN, state, View(look=["l1", "idler"], tags=TAGS), theme)
    root = ET.fromstring(text)  # noqa: S314 - our own text
    assert root[0].text == root.get("aria-label")
    assert "Pin L1 is in." in root[0].text
    used = {value for e in root.iter() for k, value in e.items() if k in ("fill", "stroke")}
    assert used <= {*THEMES[theme].values(), "none"}


def test_a_label_cannot_break_out_of_the_svg():
    block = {**VAN, "wheels": [{**VAN["wheels"][0], "label": '<b>"&'}, *VAN["wheels"][1:]]}
    root = ET.fromstring(svg(block, State()))  # noqa: S314 - our own text
    texts = [e.text for e in root.iter() if e.tag.endswith("text")]
    assert '<b>"&' in texts
