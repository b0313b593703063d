"""
The phone's drawing of a solved drive, asked through the peer: true to the geometry, as it is
written down in `tests/vectors/drawing.json`, and its words lie on nothing.
"""

import json
import math
import re
from functools import cache
from pathlib import Path

import pytest

from demo_procedures import HATCH, ROADSIDE, bundle_of
from demo_procedures import VAN as VAN_JOB
from drive_scenes import ALL, ALL_IN, RIBBED, SCENES, TAGS, VAN, state, view
from twoturns.procedure.prove.packed import Packed
from twoturns.procedure.prove.straight import straight_run

ROOT = Path(__file__).parents[4]
VECTORS = ROOT / "tests" / "vectors"
DRAWN = json.loads((VECTORS / "drawing.json").read_text())
DEMOS = {name: bundle_of(name) for name in (VAN_JOB, HATCH, ROADSIDE)}


@pytest.fixture
def shapes(peer):
    """What the phone draws of a block, a state and a view."""
    return lambda *scene: peer.call("drive_shapes", *scene)


def apart(one, other):
    """The largest difference of two shapes' numbers; infinite where anything else differs."""
    number = re.compile(r"-?\d+(?:\.\d+)?")
    if one.keys() != other.keys():
        return math.inf
    worst = 0.0
    for field in one:
        a, b = str(one[field]), str(other[field])
        if number.sub("#", a) != number.sub("#", b) and not isinstance(one[field], int | float):
            return math.inf
        pairs = zip(number.findall(a), number.findall(b), strict=True)
        worst = max([worst, *(abs(float(x) - float(y)) for x, y in pairs)])
    return worst


def test_each_scene_is_written_down():
    assert DRAWN.keys() == SCENES.keys()


@pytest.mark.parametrize("scene", SCENES)
def test_a_scene_is_drawn_and_told_as_it_is_written_down(peer, shapes, scene):
    there, drawn = DRAWN[scene]["shapes"], shapes(*SCENES[scene])
    assert len(drawn) == len(there)
    # A hundredth may fall to either side of a tenth of a px.
    assert max(apart(a, b) for a, b in zip(there, drawn, strict=True)) <= 0.1001
    assert peer.call("drive_words", *SCENES[scene]) == DRAWN[scene]["words"]


# What a condition may be now, and the belt, the pins and what is off by it.
PINS = {"crank": False, "cam": False, "pump": False}
CONDITIONS = [
    ({}, state("new", PINS)),
    (
        {"belt": ["off"], "ten": ["off"], "wp": ["off", "new"], "crank_lock": ["in"]},
        state("off", PINS | {"crank": True}, ["tensioner"]),
    ),
    (
        {"belt": ["old"], "crank_lock": ["out"], "cam_lock": ["in", "out"], "idl": ["new"]},
        state("old", PINS | {"cam": None}),
    ),
    ({"belt": ["off", "new"], "pump_lock": ["in"]}, state("new", PINS | {"pump": True})),
]


@pytest.mark.parametrize(("possible", "expected"), CONDITIONS)
def test_the_conditions_say_what_the_drive_is_like(peer, possible, expected):
    assert peer.call("drive_state", VAN, possible) == expected


def test_the_drive_that_the_phone_tests_draw_is_the_one_solved_here():
    assert json.loads((VECTORS / "drive.json").read_text())["drive"] == VAN


def test_a_state_in_sentences(peer):
    likeness = state("old", {"crank": True, "cam": None}, ["idler"])
    seen = view(look=["l2", "tensioner"], tags=TAGS, pluck=True)
    assert peer.call("drive_words", VAN, likeness, seen) == (
        "The drive, seen from the belt end. The old belt is on. Pin L1 is in. Pin L3 is out. "
        "Pin L2 may be in or out. Off the engine: the idler. Look at pin L2 and the tensioner. "
        "Pluck the span from the cam to the pump."
    )


def test_the_way_the_belt_goes_on_in_sentences(peer):
    seen = view(look=ALL, tags=TAGS, fitting=True, loupe=True)
    assert peer.call("drive_words", VAN, state("off", ALL_IN), seen) == (
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
        assert min(left, top, view["width"] - right, view["height"] - bottom) >= 0, word["text"]
        for wheel in (shape for shape in circles if shape["r"] > 12):
            assert reach(box, wheel["cx"], wheel["cy"]) >= wheel["r"], word["text"]
        assert all(reach(box, *point) > 2 for point in belt_points(drawn)), word["text"]
    for index, a in enumerate(map(box_of, texts)):
        for b in map(box_of, texts[index + 1 :]):
            assert a[2] < b[0] or b[2] < a[0] or a[3] < b[1] or b[3] < a[1]
    discs = [(shape["cx"], shape["cy"], shape["r"]) for shape in circles if is_disc(shape)]
    for index, (x, y, r) in enumerate(discs):
        assert all(math.hypot(x - a, y - b) >= r + c for a, b, c in discs[index + 1 :])


def leaders_of(drawn):
    """The lines from pins to their tags: from where, to the middle of which word."""
    tags = [s for s in drawn if s["kind"] == "text" and s["size"] == 19]
    for shape in drawn:
        line = re.fullmatch(r"M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)", shape.get("d", ""))
        if line and shape.get("width") in (2.2, 3.6):
            px, py, x, y = map(float, line.groups())
            for tag in tags:
                if math.dist((x, y + 6.6), (tag["x"], tag["y"])) < 0.3:
                    yield (px, py), (x, y), tag


def cross_nothing(drawn):
    """A leader crosses no wheel but its own, and no word but its tag."""
    discs = [s for s in drawn if s["kind"] == "circle" and s["r"] > 12]
    words = [s for s in drawn if s["kind"] == "text" and s["size"] == 19]
    found = list(leaders_of(drawn))
    for start, end, tag in found:
        steps = math.ceil(math.dist(start, end))
        for at in (
            (start[0] + (end[0] - start[0]) * i / steps, start[1] + (end[1] - start[1]) * i / steps)
            for i in range(steps)
        ):
            for wheel in discs:
                middle = wheel["cx"], wheel["cy"]
                if math.dist(middle, start) >= wheel["r"]:
                    assert math.dist(middle, at) >= wheel["r"], tag["text"]
            for word in words:
                assert word is tag or reach(box_of(word), *at) > 0, (tag["text"], word["text"])
    return found


def is_disc(shape):
    """A number's disc, or a pin that is in."""
    return shape.get("stroke") == "ground" and shape.get("fill") in ("act", "ink")


@pytest.mark.parametrize("scene", SCENES)
def test_no_word_lies_on_a_wheel_the_belt_or_another_word_or_outside_the_box(shapes, scene):
    lie_free(shapes(*SCENES[scene]), SCENES[scene][2])


def numbers_and_words(drawn):
    texts = [shape["text"] for shape in drawn if shape["kind"] == "text"]
    return [t for t in texts if t.isdigit()], {t for t in texts if not t.isdigit()}


def rings_of(drawn):
    return [s for s in drawn if s["kind"] == "circle" and s.get("width") == 4.5 and "fill" not in s]


def states_of(peer, name):
    """What the drive is like before each step of the straight job, as the phone shows it."""
    whole = DEMOS[name]
    packed = Packed(whole["machine"])
    conditions = list(enumerate(whole["machine"]["conditions"]))
    run = [(at, before) for at, before, _ in straight_run(packed)]
    asked = [
        (whole["drive"], {c["id"]: [c["values"][packed.value(before, i)]] for i, c in conditions})
        for _, before in run
    ]
    likenesses = answered(peer.calls("drive_state", asked))
    return dict(zip((at for at, _ in run), likenesses, strict=True))


def views_of(peer, name, likenesses):
    """What the phone shows at each step, by the step's place, in these states."""
    asked = [(asked_for_a_view(name), at, likeness) for at, likeness in likenesses.items()]
    return dict(zip(likenesses, answered(peer.calls("drive_view", asked)), strict=True))


def answered(answers):
    """The answers to calls of the peer: none failed."""
    for answer in answers:
        if isinstance(answer, Exception):
            raise answer
    return answers


@pytest.mark.parametrize("name", DEMOS)
def test_all_that_the_geometry_of_a_demo_says_is_drawn(shapes, name):
    block, seen = DEMOS[name]["drive"], view(480, 480, fitting=True, loupe=True)
    drawn = shapes(block, state("old"), seen)
    lie_free(drawn, seen)
    numbers, words = numbers_and_words(drawn)
    labels = {wheel["id"]: wheel["label"] for wheel in block["wheels"]}
    assert len(numbers) == len(labels)
    assert {f"{labels[count['to']]} {count['teeth']}" for count in block["counts"]} <= words
    assert {"slack", "tight"} <= words
    assert ("TIGHTER" in words) == (name != ROADSIDE)


@pytest.mark.parametrize("name", DEMOS)
def test_every_step_of_the_demos_is_drawn_whole_at_the_size_the_phone_has(peer, shapes, name):
    drawn_sides, leaders = [], []
    block = DEMOS[name]["drive"]
    likenesses = states_of(peer, name)
    for at, shown in views_of(peer, name, likenesses).items():
        step = DEMOS[name]["steps"][at]
        seen = shown | {"width": 332, "height": 190}  # the least that the screen of a step gives
        drawn = shapes(block, likenesses[at], seen)
        lie_free(drawn, seen)
        leaders += cross_nothing(drawn)
        pins = {tag for slot, tag in seen["tags"].items() if slot in seen["look"]}
        assert pins <= numbers_and_words(drawn)[1] or seen["fitting"], step["id"]
        rings = rings_of(drawn)
        for index, a in enumerate(rings):
            for b in rings[index + 1 :]:
                between = math.hypot(a["cx"] - b["cx"], a["cy"] - b["cy"])
                assert between >= a["r"] + b["r"] + 4.5, step["id"]
        numbers, words = numbers_and_words(drawn)
        if seen["fitting"]:
            drawn_sides.append(words & {"slack", "tight"})
            assert sorted(numbers) == [str(n) for n in range(1, len(block["wheels"]) + 1)]
            assert {f"{c['teeth']}" for c in block["counts"]} <= {w.split()[-1] for w in words}
        else:
            named = {w["label"] for w in block["wheels"] if w["id"] in seen["look"]}
            if seen["loupe"]:
                named -= {w["label"] for w in block["wheels"] if "eccentric" in w}
            assert named <= words, step["id"]
        assert ("TIGHTER" in words) == seen["loupe"], step["id"]
    assert drawn_sides == [{"slack", "tight"}]
    assert name == ROADSIDE or len(leaders) > 5


# Steps that show how the belt goes on; a span to pluck; with the new belt on, the loupe.
SHOWN = {
    VAN_JOB: {
        "fitting": ["belt_on"],
        "pluck": ["pins_again"],
        "loupe": [
            "photograph_as_found",
            "rollers_off",
            "stud_in",
            "tensioner_on",
            "set_pointer",
            "tighten_nut",
        ],
    },
    HATCH: {
        "fitting": ["belt_on"],
        "pluck": ["set_tension", "tighten_nut", "locks_again"],
        "loupe": [
            "photograph_as_found",
            "rollers_off",
            "tensioner_on",
            "set_tension",
            "tighten_nut",
        ],
    },
    # Its arm is set by its spring, without a pointer.
    ROADSIDE: {"fitting": ["lay_belt"], "pluck": ["read_arm"], "loupe": []},
}


@pytest.mark.parametrize("belt", ["old", "new", "off"])
@pytest.mark.parametrize("name", DEMOS)
def test_a_step_shows_what_it_asks_to_look_at_and_only_then_more(peer, name, belt):
    steps = DEMOS[name]["steps"]
    tags = {tool["slot"]: tool["tag"] for tool in DEMOS[name]["tools"] if "tag" in tool}
    views = views_of(peer, name, {at: {"belt": belt} for at in range(len(steps))})
    assert all(seen["look"] == steps[at]["look"] for at, seen in views.items())
    assert all(seen["tags"] == tags for seen in views.values())
    shown = {
        what: [steps[at]["id"] for at, seen in views.items() if seen[what]]
        for what in ("fitting", "pluck", "loupe")
    }
    assert shown == SHOWN[name] | ({} if belt == "new" else {"loupe": []})


@cache
def asked_for_a_view(name):
    """Of a bundle what a view is made from, so that little goes to the other side each time."""
    whole = DEMOS[name]
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


def test_every_mark_and_pin_in_sight_is_named(shapes):
    named = {s["text"] for s in shapes(*SCENES["three looked at"]) if s["kind"] == "text"}
    assert named == {"L1", "L2", "L3", "CRANK", "CAM", "PUMP"}


def test_the_belt_is_in_two_parts_that_make_the_whole(peer):
    whole, slack, tight = peer.call("drive_belt_lines", VAN, state(), view())
    # The tight side ends where the slack side begins, the other way round as well.
    assert tight.rsplit(" ", 2)[-2:] == re.split("[ML]", slack)[1].split()
    assert re.split("[ML]", tight)[1].startswith(re.split("L", slack)[-1])
    assert slack.count("A") + tight.count("A") == whole.count("A") == 6


def line_px(d):
    """The length of a line of straight pieces and arcs of circles that ends where it begins."""
    total, at = 0.0, (0.0, 0.0)
    pieces = [(c, [*map(float, w.split())]) for c, w in re.findall(r"([MLA])([^MLAZ]*)", d)]
    for command, (*arc, x, y) in [*pieces, ("L", pieces[0][1])]:
        chord = 0 if command == "M" else math.dist(at, (x, y))
        if command == "A":
            angle = 2 * math.asin(min(1, chord / 2 / arc[0]))
            total += arc[0] * (math.tau - angle if arc[3] else angle)
        else:
            total += chord
        at = x, y
    return total


@pytest.mark.parametrize("block", [VAN, RIBBED, *(each["drive"] for each in DEMOS.values())])
def test_wheels_and_belt_are_drawn_to_one_scale_and_the_belt_as_long_as_it_is(peer, shapes, block):
    """A toothed belt's length is its teeth times its pitch (ISO 5296, pitch length)."""
    wheels, belt, seen = block["wheels"], block["belt"], view(2000, 2000)
    whole, *_ = peer.call("drive_belt_lines", block, state(), seen)
    length_um = belt["teeth"] * belt["pitch_um"] if "teeth" in belt else belt["length_um"]
    px_per_um = line_px(whole) / length_um
    bare = shapes(block, state("off", {}, [wheel["id"] for wheel in wheels]), seen)
    middles = [(shape["cx"], -shape["cy"]) for shape in bare if shape["kind"] == "circle"]
    assert len(middles) == len(wheels)
    for wheel, middle in zip(wheels, middles, strict=True):
        for axis, place in enumerate(("x_um", "y_um")):
            drawn = (middle[axis] - middles[0][axis]) / px_per_um
            assert drawn == pytest.approx(wheel[place] - wheels[0][place], abs=500, rel=1e-3)


def kinds(drawn):
    """What of each shape is told without its colour."""
    return tuple(
        (*(shape.get(name) for name in ("kind", "dash", "length", "text")), is_cut(shape))
        for shape in drawn
    )


def is_cut(shape):
    """A line in the colour of the ground makes the shape under it hollow."""
    return shape.get("stroke") == "ground"


def test_every_state_has_a_shape_of_its_own_not_only_a_colour(shapes):
    no_cam, cam_unknown = ALL_IN | {"cam": False}, ALL_IN | {"cam": None}
    scenes = [
        (state("new", ALL_IN), {}),
        (state("old", ALL_IN), {}),
        (state("off", ALL_IN), {}),
        (state("new", no_cam), {}),
        (state("new", cam_unknown), {}),
        (state("new", ALL_IN, ["idler"]), {}),
        (state("new", ALL_IN), {"look": ["l2"]}),
        (state("new", ALL_IN), {"look": ["cam"]}),
        (state("new", no_cam), {"look": ["l2"]}),
        (state("new", ALL_IN), {"pluck": True}),
        (state("new", ALL_IN), {"look": ["tensioner"], "loupe": True}),
        (state("new", ALL_IN), {"fitting": True}),
        (state("off", ALL_IN), {"fitting": True}),
    ]
    drawn = [kinds(shapes(VAN, now, view(tags=TAGS, **shown))) for now, shown in scenes]
    assert len(set(drawn)) == len(drawn)


def test_the_belt_has_as_many_teeth_as_it_has(shapes):
    teeth = [s["length"] for s in shapes(VAN, state(), view()) if "length" in s]
    assert sorted(teeth) == [2 * n for n in (21, 24, 36, 48, 140)]


@pytest.mark.parametrize("scene", SCENES)
def test_only_colours_that_every_theme_has_are_used(shapes, scene):
    """The phone's themes are in `colours.css`: one that lacks a colour would draw in black."""
    tokens = (ROOT / "client" / "src" / "parts" / "colours.css").read_text()
    used = {s[of] for s in shapes(*SCENES[scene]) for of in ("fill", "stroke") if of in s}
    themes = [block for block in re.findall(r"\{([^{}]*)\}", tokens) if "--ground:" in block]
    assert len(themes) >= 3  # indoors, in the sun, at night
    assert all(f"--{ink}:" in theme for theme in themes for ink in used - {"none"})
