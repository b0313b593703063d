"""What the tests of the three demo procedures share: reading them, and walking them straight."""

import re
from functools import cache
from pathlib import Path

from procedure_walk import Walker
from twoturns.procedure.compile.bundle import load
from twoturns.procedure.language import source

FOLDER = Path(__file__).parents[1] / "demo_jobs"
VAN, HATCH, ROADSIDE = "van-timing-drive", "hatch-timing-drive", "roadside-auxiliary-belt"


@cache
def loaded(name):
    return load(FOLDER / name)


def bundle_of(name):
    return loaded(name).bundle


@cache
def walker_of(name):
    return Walker(bundle_of(name)["machine"])


def text_of(name):
    return (FOLDER / name / "procedure.yaml").read_text()


@cache
def source_steps(name):
    """The steps as they are written: a bundle no longer knows what a step does, only its effect."""
    return {step["id"]: step for step in source.read(text_of(name).encode()).data["steps"]}


@cache
def straight_run(name):
    """Each must-step with the state before it, in listed order; and the state at the end."""
    return straight_of(walker_of(name))


def straight_of(walker):
    state, run = walker.start(), []
    for at, step in enumerate(walker.steps):
        if step["must"]:
            run.append((at, state))
            state = walker.done(at, state)
    return run, state


def step_at(name, step_id):
    return next(at for at, step in enumerate(walker_of(name).steps) if step["id"] == step_id)


def after_failure(name, step_id, failure_id):
    """The states that a failure on the straight run leaves."""
    walker, at = walker_of(name), step_at(name, step_id)
    failure = next(each for each in walker.steps[at]["fails"] if each["id"] == failure_id)
    return walker.failed(at, failure, dict(straight_run(name)[0])[at])


def way_after(name, step_id, failure_id):
    """The steps to do again after a failure, up to where the straight run stood."""
    walker = walker_of(name)
    way = walker.way_to_the_end(after_failure(name, step_id, failure_id)[0])
    return [walker.steps[at]["id"] for at in way[: way.index(step_at(name, step_id)) + 1]]


def proofs(bundle):
    return [(step, proof) for step in bundle["steps"] for proof in step["proof"]]


def words(bundle):
    """Every sentence that a person reads."""
    for step in bundle["steps"]:
        yield from (step["title"], step["act"], *step["says"])
        yield from (step[field] for field in ("because",) if field in step)
        yield from (step["caution"]["says"] for field in ("caution",) if field in step)
        for proof in step["proof"]:
            yield proof["label"]
            yield from (option["says"] for option in proof.get("options", []))
        for failure in step["fails"]:
            yield from (failure["says"], failure["then"])
    for condition in bundle["conditions"]:
        yield from (value["says"] for value in condition["values"])
    yield from bundle["cautions"]
    yield from (rule["never"] for rule in bundle["rules"])


def without_needs_and_failures(text):
    """Take out what could object before a rule does, and failures that speak of what is gone."""
    text = re.sub(r"\n    asks: \{.*\}", "", text)
    text = re.sub(r"\n    asks:\n(      .*\n)+", "\n", text)
    return re.sub(r"\n    fails:(\n      .*)+", "", text)


def rules_broken_in_order(bundle):
    """Every step with the rule that it breaks, when the listed order is done without a look."""
    walker = Walker(bundle["machine"])
    return {
        (walker.steps[at]["id"], bundle["rules"][number]["id"])
        for at, state in straight_of(walker)[0]
        for number in walker.broken_rules(at, state)
    }


def asks_of(bundle):
    return {at for at, rule in enumerate(bundle["rules"]) if rule["kind"] == "ask"}


def states_of(walker, start=None, asks=frozenset()):
    """All states that can be reached and the number of transitions, by the walker of the tests."""
    seen = {start or walker.start()}
    ways, transitions = list(seen), 0
    passing = {at for at in range(len(walker.steps)) if walker.may_pass(at, asks)}
    while ways:
        state = ways.pop()
        for at in walker.opened(state):
            reached = [walker.done(at, state)]
            if at in passing:
                reached.append(walker.passed(at, state))
            for failure in walker.steps[at]["fails"]:
                reached += walker.failed(at, failure, state)
            transitions += len(reached)
            new = set(reached) - seen
            seen |= new
            ways.extend(new)
    return seen, transitions
