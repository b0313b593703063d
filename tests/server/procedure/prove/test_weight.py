"""
What a job weighs in the hand, counted by hand beside each step.

How the phone asks is `tests/browser/mechanic.py`, which goes through whole jobs.
"""

from demo_procedures import HATCH, ROADSIDE, VAN, bundle_of
from tiny_procedure import TINY_RULES, TINY_SOURCE
from twoturns.procedure.compile.compiler import compile_source
from twoturns.procedure.prove.weight import Weight, weigh


def tiny(*changes):
    text = TINY_SOURCE
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return weigh(compile_source(text.encode(), {}, TINY_RULES).bundle)


def of_step(weights, at):
    return dict(weights.steps)[at]


def test_each_step_weighs_what_its_screens_ask():
    weights = tiny()
    # Board opened, pin taken; a hold says that the step is done.
    assert of_step(weights, 0) == Weight(touches=2, holds=1)
    assert of_step(weights, 1) == Weight(holds=1)
    # Opened, shot; kept by the hold.
    assert of_step(weights, 2) == Weight(touches=2, holds=1, photos=1)
    # Opened; 725.0 typed and kept, 72 typed and kept, a row chosen; board opened, pin hung; held.
    assert of_step(weights, 3) == Weight(touches=6, holds=1, characters=7)
    assert of_step(weights, 4) == Weight(touches=2, holds=1)


def test_the_whole_is_the_sum_and_ways_back_are_not_in_it():
    weights = tiny()
    assert weights.whole == Weight(touches=12, holds=5, photos=1, characters=7)
    assert [at for at, _ in weights.steps] == [3, 0, 2, 4, 1], "the heaviest first"


def test_a_wait_an_instrument_and_a_small_count_are_touched_not_typed():
    turned = "label: angle turned, unit: °, low: 715, high: 725.0"
    weights = tiny(
        (f"kind: reading, {turned}", f"kind: reading, {turned}, by: [turn, hand]"),
        ("kind: count, label: teeth, target: 72", "kind: wait, label: wait, low: 10, unit: min"),
    )
    assert of_step(weights, 3) == Weight(touches=8, holds=1, minutes=10)
    few = tiny(("label: teeth, target: 72", "label: teeth, target: 20"))
    assert of_step(few, 3) == Weight(touches=26, holds=1, characters=5)


def test_a_tool_that_is_taken_and_hung_in_one_step_is_not_asked_for():
    weights = tiny(("does: [lock=in]\n    tools_out: [l1]", "does: [lock=in]"))
    assert of_step(weights, 0) == Weight(holds=1)
    both = tiny(("    tools_in: [l1]", "    tools_out: [l1]\n    tools_in: [l1]"))
    assert of_step(both, 3).touches == 6, "it was out before: it is hung"


def test_the_demos_ask_for_no_more_than_they_need():
    """At most 18 photos and 207 touches of the van, 12 photos of the roadside: no source."""
    whole = {name: weigh(bundle_of(name)).whole for name in (VAN, HATCH, ROADSIDE)}
    assert {name: weight.photos for name, weight in whole.items()} == {
        VAN: 16,
        HATCH: 15,
        ROADSIDE: 11,
    }
    assert whole[VAN].touches <= 207
    assert whole[HATCH].minutes >= 16
