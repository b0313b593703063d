"""
The walk that proves, against networkx on explicit graphs.

Of small random machines the graph has every state that can be written down, met or not. Of the
roadside procedure it has all that are met; the hatch and the van are run by hand:
`tests/bench/bench_graph.py`.
"""

from random import Random

import pytest

from demo_procedures import ROADSIDE, bundle_of, states_of
from procedure_walk import State, Walker
from random_jobs import random_bundle
from state_graph import StateGraph
from twoturns.procedure.prove.packed import Packed
from twoturns.procedure.prove.walk import walk

MOST = 100_000


def small_bundle(seed):
    """
    A random bundle in which one gets somewhere: by the tests' walker, so that a walk that stops
    short is not spared. Its ordinary steps are all musts, as that walker knows no others.
    """
    rng = Random(seed)
    while True:
        bundle = random_bundle(rng, ways=(2, 3))
        steps = bundle["machine"]["steps"]
        for step in steps:
            step["guard"] = [pair for pair in step["guard"] if rng.random() < 0.5]
        if all(step["must"] or step["undo"] for step in steps):
            states, _ = states_of(Walker(bundle["machine"]))
            if len(states) >= 20:
                return bundle


def compare(bundle, *, whole):
    """Hold a walk against the graph; return how many states, rules broken and dead states."""
    machine = bundle["machine"]
    asks = {at for at, rule in enumerate(bundle["rules"]) if rule["kind"] == "ask"}
    graph = StateGraph(machine, asks, whole=whole)
    packed = Packed(machine)
    found = walk(packed, most_states=MOST, asks=asks)

    def read(state):
        values = tuple(packed.value(state, c) for c in range(len(machine["conditions"])))
        return State(values, packed.todo(state))

    away = graph.steps_away()
    assert {read(state) for state in found.states} == away.keys()
    assert found.transitions == sum(graph.graph.out_degree(state) for state in away)
    for state in found.states:
        assert len(found.way(state)) == away[read(state)], "no way that is told can be shortened"
    broken = [(state, at, rule) for state, at, rule in graph.broken if state in away]
    assert set(found.broken) == {(at, rule) for _, at, rule in broken}
    for (at, rule), state in found.broken.items():
        nearest = min(away[where] for where, *which in broken if which == [at, rule])
        assert away[read(state)] == nearest
    alive = graph.alive([machine["ends"][0]["id"]]) & away.keys()
    lives = found.alive([0])
    assert {read(state) for at, state in enumerate(found.states) if lives[at]} == alive
    return len(away), len(found.broken), len(away) - len(alive)


@pytest.mark.parametrize("seeds", [range(10), range(10, 20), range(20, 30)], ids=str)
def test_random_machines_are_walked_as_networkx_reaches_them(seeds):
    compared = [compare(small_bundle(seed), whole=True) for seed in seeds]
    states, broken, dead = (sum(column) for column in zip(*compared, strict=True))
    assert states > 200, "else little was compared"
    assert broken > 0
    assert dead > 0


def test_the_roadside_procedure_is_walked_as_networkx_reaches_it():
    states, broken, dead = compare(bundle_of(ROADSIDE), whole=False)
    assert states > 700
    assert broken == 0
    assert dead > 0, "after a verdict to recover nothing leads to the hand-over"


def test_a_walk_that_keeps_no_answer_finds_the_same(monkeypatch):
    """What is kept of one state for others like it is worked out anew for each where it is not."""
    machine = bundle_of(ROADSIDE)["machine"]
    kept = walk(Packed(machine), most_states=MOST)
    for module in ("packed", "walk"):
        monkeypatch.setattr(f"twoturns.procedure.prove.{module}.MOST_KEPT", 0)
    anew = walk(Packed(machine), most_states=MOST)
    assert (anew.states, anew.transitions) == (kept.states, kept.transitions)
    assert (anew.broken, anew.blocked, anew.again) == (kept.broken, kept.blocked, kept.again)
