"""What is another between two editions of a procedure, in words."""

from copy import deepcopy

import pytest

from demo_procedures import VAN, bundle_of
from tiny_procedure import TINY_RULES, TINY_SOURCE
from twoturns.procedure.compare.change import moved
from twoturns.procedure.compare.editions import KINDS, compare, kind_words
from twoturns.procedure.compile.compiler import compile_source


def tiny(*changes):
    """The tiny procedure, with texts of its source replaced."""
    text = TINY_SOURCE
    for old, new in changes:
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times"
        text = text.replace(old, new)
    return compile_source(text.encode(), {}, TINY_RULES).bundle


def told(before, after):
    return [(change.kind, change.says) for change in compare(before, after)]


def van(change):
    """The van's bundle before and after `change` was made to a copy of it."""
    after = deepcopy(bundle_of(VAN))
    change(after)
    return bundle_of(VAN), after


def step_of(bundle, step):
    return next(each for each in bundle["steps"] if each["id"] == step)


def test_the_same_says_nothing_whatever_its_edition():
    before, after = van(lambda bundle: bundle.update(edition=bundle["edition"] + 1))
    assert compare(before, after) == []


def test_a_torque_is_told_by_step_name_and_both_figures():
    def change(bundle):
        step = step_of(bundle, "pump_on")
        step["torque"]["nm"] = "12"
        step["proof"][0] |= {"low": "11.52", "high": "12.48", "target": "12"}

    number = step_of(bundle_of(VAN), "pump_on")["number"]
    assert told(*van(change)) == [
        ("figure", f"step {number}: torque 11 N·m -> 12 N·m"),
        (
            "figure",
            f"step {number}: pump bolts 11 (10.56 to 11.44) -> 12 (11.52 to 12.48) N·m",
        ),
    ]


def test_an_answer_and_a_failure_that_become_findings_are_told():
    def change(bundle):
        step = step_of(bundle, "look_first")
        next(one for one in step["proof"][-1]["options"] if one["id"] == "coolant")["finding"] = (
            True
        )
        step_of(bundle, "open_cap")["fails"][0]["finding"] = True

    said = dict(told(*van(change)))
    assert said["failure"].endswith("is now a finding")
    assert said["text"].endswith("changed in any case' (proves it, a finding)")


def test_a_permit_of_a_step_and_one_of_an_answer_are_told():
    def change(bundle):
        step = step_of(bundle, "look_first")
        step["permit"] = "lifts"
        next(one for one in step["proof"][-1]["options"] if one["id"] == "coolant")["permit"] = (
            "lifts"
        )

    said = dict(told(*van(change)))
    assert said["order"].endswith("done by permit is now lifts, was not given before")
    assert said["text"].endswith("changed in any case' (proves it, by permit lifts)")


def test_another_picture_another_part_of_it_and_another_line_are_told():
    crop = dict.fromkeys(("left_percent", "top_percent"), 0) | dict.fromkeys(
        ("width_percent", "height_percent"), 50
    )

    def shown(picture):
        return van(lambda bundle: step_of(bundle, "pump_on").update(picture=picture))[1]

    number = step_of(bundle_of(VAN), "pump_on")["number"]
    bare, cut = shown({"asset": "a.png"}), shown({"asset": "a.png", "crop": crop})
    arrow = {"x_percent": 1, "y_percent": 1, "angle_deg": 90}
    pointed = shown({"asset": "a.png", "crop": crop, "arrow": arrow, "says": "Slot up"})
    assert told(*van(lambda bundle: step_of(bundle, "pump_on").update(picture={"asset": "a.png"})))
    assert told(bare, shown({"asset": "b.png"})) == [
        ("picture", f"step {number}: picture a.png -> b.png")
    ]
    assert told(bare, cut) == [("picture", f"step {number}: another part of the picture is shown")]
    assert [kind for kind, _ in told(cut, pointed)] == ["picture", "picture"]


def test_a_step_that_is_new_gone_or_moved_is_told_with_what_stands_before_it():
    def change(bundle):
        steps = bundle["steps"]
        for at, name in [(0, "gone"), (5, "wanders")]:
            steps[at]["title"] = name
        gone = steps.pop(0)
        steps.insert(9, steps.pop(4))
        new = {**deepcopy(steps[2]), "id": "quite_new", "title": "quite new"}
        steps.insert(0, new)
        bundle["machine"]["steps"].append(
            {
                **next(s for s in bundle["machine"]["steps"] if s["id"] == gone["id"]),
                "id": new["id"],
            }
        )

    before, after = van(change)
    found = [change for change in compare(before, after) if change.kind == "step"]
    assert [change.step for change in found] == [
        "quite_new",
        before["steps"][0]["id"],
        before["steps"][5]["id"],
    ]
    new, gone, away = (change.says for change in found)
    assert "'quite new' is new, after 'the beginning'" in new
    assert "of the former edition: 'Vehicle taken in" in gone or "is taken away" in gone
    assert "'wanders' stands now after" in away


def test_steps_that_a_new_one_pushes_on_are_not_told_one_by_one():
    def change(bundle):
        for step in bundle["steps"]:
            if step["number"]:
                step["number"] = str(int(step["number"].rstrip("abcdef")) + 1)
        bundle["steps"].insert(0, {**deepcopy(bundle["steps"][0]), "id": "first", "number": "1"})
        bundle["machine"]["steps"].append({**bundle["machine"]["steps"][0], "id": "first"})

    assert len(told(*van(change))) == 1


def test_what_a_step_asks_of_the_engine_is_told_in_the_words_of_its_values():
    found = told(tiny(), tiny(("asks: {lock: out}", "asks: {lock: in}")))
    assert [kind for kind, _ in found] == ["order"] * len(found)
    assert any("asks now for:" in says for _, says in found)


def test_a_makers_word_is_told_with_its_source_and_what_falls_away():
    word = {
        "never": "x", "because": "y", "holds": ["the pins hang on the board"],
        "gone": ["the wheel bolts are tight"], "says": "Pins first.", "why": "The wheel is keyed.",
        "source": {"document": "NH 140", "edition": "2", "page": "p. 12", "date": "2026-03-01"},
    }  # fmt: skip

    def change(bundle):
        bundle["rules"][0]["instead"] = word

    before, after = van(change)
    rule = before["rules"][0]["id"]
    assert told(before, after) == [
        (
            "instead",
            f"rule '{rule}': is now taken otherwise, on the maker's word: “Pins first.” Source: "
            "NH 140, edition 2, p. 12, 2026-03-01. No longer asked for: the wheel bolts are tight",
        )
    ]
    assert "the house rule holds again" in told(after, before)[0][1]


@pytest.mark.parametrize(
    ("before", "after", "away"),
    [("abc", "abc", ""), ("abc", "cab", "c"), ("abcd", "acbd", "b"), ("abc", "axbyc", "")],
)
def test_the_fewest_that_moved_are_named(before, after, away):
    assert moved(before, after) == set(away)


# Each field of a bundle once: the first place where it stands.


def fields_of(node, path=(), shape=()):
    """Yield path and shape (indices left out) of each value that is no list or mapping."""
    if isinstance(node, dict):
        for key, inner in node.items():
            yield from fields_of(inner, (*path, key), (*shape, key))
    elif isinstance(node, list):
        for at, inner in enumerate(node):
            yield from fields_of(inner, (*path, at), shape)
    else:
        yield path, shape


def first_places(bundle):
    """By shape, the first path that has it."""
    return {shape: path for path, shape in reversed(list(fields_of(bundle)))}


def small():
    """The van with those steps alone that are the first to have some field."""
    places, bundle = first_places(bundle_of(VAN)), deepcopy(bundle_of(VAN))
    keeps = {path[1] for path in places.values() if path[0] == "steps"}
    for steps in (bundle["steps"], bundle["machine"]["steps"]):
        steps[:] = [step for at, step in enumerate(steps) if at in keeps]
    return bundle


SMALL = small()
#: Another edition says nothing by itself, `v` is the form, and the path of the belt is computed.
SILENT = {("v",), ("edition",), ("drive", "path")}
FIELDS = {
    shape: path
    for shape, path in first_places(SMALL).items()
    if shape[:1] not in SILENT and shape[:2] not in SILENT and shape[0] != "machine"
}


@pytest.mark.parametrize("shape", FIELDS, ids=".".join)
def test_no_field_of_a_bundle_changes_untold(shape):
    *path, last = FIELDS[shape]
    after = deepcopy(SMALL)
    part = after
    for step in path:
        part = part[step]
    now = part[last]
    if isinstance(now, bool):
        part[last] = not now
    else:
        part[last] = now + 1 if isinstance(now, int) else f"{now} other"
    found = told(SMALL, after)
    assert found
    assert all(says for _, says in found)
    assert not any("only what the machine holds" in says for _, says in found)


def test_what_only_the_machine_holds_is_told_too():
    def change(bundle):
        bundle["machine"]["rests"].append([0, [1]])

    assert told(*van(change)) == [
        ("order", "only what the machine holds is another, nothing that people read")
    ]


def test_kinds_have_headings_and_stand_in_their_order():
    def change(bundle):
        bundle["vehicle"] += "x"
        bundle["steps"].pop()

    kinds = [change.kind for change in compare(*van(change))]
    assert kinds == sorted(kinds, key=KINDS.index)
    assert all(kind_words(kind) for kind in KINDS)
