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
    # Opened; 725.0 typed and kept, 72 typed and kept, a row chosen, the pin hung; held.
    assert of_step(weights, 3) == Weight(touches=5, holds=1, characters=7)
    # Opened, read, signed; held.
    assert of_step(weights, 4) == Weight(touches=3, holds=1)


def test_the_whole_is_the_sum_and_ways_back_are_not_in_it():
    weights = tiny()
    assert weights.whole == Weight(touches=12, holds=5, photos=1, characters=7)
    assert [at for at, _ in weights.steps] == [3, 4, 0, 2, 1], "the heaviest first"


def test_a_wait_an_instrument_and_a_small_count_are_touched_not_typed():
    turned = "label: angle turned, unit: °, low: 715, high: 725.0"
    weights = tiny(
        (f"kind: reading, {turned}", f"kind: reading, {turned}, by: [turn, hand]"),
        ("kind: count, label: teeth, target: 72", "kind: wait, label: wait, low: 10, unit: min"),
    )
    # The wait runs from the first proof: nothing begins it.
    assert of_step(weights, 3) == Weight(touches=6, holds=1, minutes=10)
    few = tiny(("label: teeth, target: 72", "label: teeth, target: 20"))
    assert of_step(few, 3) == Weight(touches=25, holds=1, characters=5)


def test_a_figure_is_moved_on_its_scale_where_a_finger_can_tell_its_marks_apart():
    def angle(limits):
        return of_step(tiny(("low: 715, high: 725.0", limits)), 3)

    typed, moved = (
        Weight(touches=5, holds=1, characters=7),
        Weight(touches=6, holds=1, characters=2),
    )
    assert angle("low: 715, high: 725.0") == typed
    assert angle("low: 715, high: 725") == moved
    assert angle("high: 40") == moved
    assert angle("low: 0, high: 0.5") == moved


def test_the_hold_of_a_click_says_the_count_of_its_bolts_or_a_short_choice_as_well():
    of_van = bundle_of(VAN)
    weights = weigh(of_van)
    at = {step["id"]: at for at, step in enumerate(of_van["steps"])}
    # Opened at the board, the counter-hold taken, three bolts marked; held.
    assert of_step(weights, at["tighten_slots"]) == Weight(touches=5, holds=1)
    # Opened at the wrench, a row of the feeler chosen beside its click; held.
    assert of_step(weights, at["idler_on"]) == Weight(touches=2, holds=1)
    # Opened at the wrench, four bolts marked and kept, the phone turns with the angle; held.
    assert of_step(weights, at["mount_on"]) == Weight(touches=7, holds=1)
    # What only a hold says is signed with it, and shown there: nobody is under the van.
    assert of_step(weights, at["wheel_on"]) == Weight(touches=6, holds=1)


def test_what_is_held_against_another_figure_is_looked_at_and_a_wait_runs_from_the_first_proof():
    of_van = bundle_of(VAN)
    weights = weigh(of_van)
    at = {step["id"]: at for at, step in enumerate(of_van["steps"])}
    # Opened, shot and kept; moved, looked at beside what came out; held.
    assert of_step(weights, at["fill_coolant"]) == Weight(touches=5, holds=1, photos=1)
    # Opened, shot and kept, the wait kept, a row chosen; held.
    assert of_step(weights, at["pump_off"]) == Weight(touches=5, holds=1, photos=1, minutes=5)


def test_a_tool_that_is_taken_and_hung_in_one_step_is_not_asked_for():
    weights = tiny(("does: [lock=in]\n    tools_out: [l1]", "does: [lock=in]"))
    assert of_step(weights, 0) == Weight(holds=1)
    both = tiny(("    tools_in: [l1]", "    tools_out: [l1]\n    tools_in: [l1]"))
    assert of_step(both, 3).touches == 5, "it was out before: it is hung"


def test_the_demos_ask_for_no_more_than_they_need():
    """
    At most 18 photos of the van and 12 of the roadside; for each step of the van that must be done
    4.5 touches and 1.1 holds, and no more than 12 characters in any job: no source.
    """
    whole = {name: weigh(bundle_of(name)).whole for name in (VAN, HATCH, ROADSIDE)}
    assert {name: weight.photos for name, weight in whole.items()} == {
        VAN: 16,
        HATCH: 15,
        ROADSIDE: 11,
    }
    assert whole[VAN].touches <= 207
    assert whole[VAN].holds <= 51
    assert all(weight.characters <= 12 for weight in whole.values())
    assert whole[HATCH].minutes >= 16
