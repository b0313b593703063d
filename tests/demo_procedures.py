"""What the tests of the three demo procedures share: reading them, and walking them straight."""

import re
from dataclasses import replace
from functools import cache
from pathlib import Path

from procedure_walk import Walker
from twoturns.procedure.blocks.compose import composed
from twoturns.procedure.blocks.library import library
from twoturns.procedure.compile.bundle import SOURCE_NAME, load
from twoturns.procedure.language import source
from twoturns.procedure.language.source import Document
from twoturns.procedure.language.write import written_out

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


def written_of(name):
    """A demo's source as it lies in its folder, with its blocks named."""
    return (FOLDER / name / SOURCE_NAME).read_text()


@cache
def text_of(name):
    """
    A demo's source with its blocks written out: what a test changes stands in it. It is laid out
    in one way, however the demo and its blocks are.
    """
    document, _ = composed(source.read(written_of(name).encode()), library())
    root = laid_out(document.root)
    in_order = {word: root.values[word] for word in IN_ORDER if word in root.values}
    assert set(in_order) == set(root.values)
    return written_out(Document(replace(root, values=in_order), document.data))


IN_ORDER = (
    *("id", "name", "edition", "vehicle", "engine_codes", "cautions", "interval"),
    *("interrupt_minutes", "conditions", "moves", "voids", "rests", "absent", "instead", "phases"),
    *("rules", "steps", "ends", "tools", "kit", "drive"),
)


# What stands on lines of its own, by where it stands; everything else stands in brackets.
ON_LINES = re.compile(
    r"/|/(?!engine_codes|interval)\w+|/conditions/\w+(/\w+)?|/conditions/engine/\w+/values|/rules/\w+|/ends/\w+(/conditions)?"
    r"|/steps/(\*|undo)(/proof|/fails)?|/steps/\*/says"
    r"|/steps/(\*|undo)/(proof/options(/options)?|fails/\*)"
)
AS_WRITTEN = ("/drive", "/instead")


def laid_out(node, path="/"):
    """A part of a source, each list and mapping of it in brackets or not by where it stands."""
    if path.startswith(AS_WRITTEN):
        return node
    if isinstance(node, source.Text):
        return replace(node, quote="")
    is_flow = not ON_LINES.fullmatch(path)
    below = path.rstrip("/")
    if isinstance(node, source.Items):
        values = [laid_out(each, f"{below}/{member_of(each)}") for each in node.values]
        return replace(node, values=values, is_flow=is_flow)
    values = {key: laid_out(each, f"{below}/{key}") for key, each in node.values.items()}
    return replace(node, values=values, is_flow=is_flow)


def member_of(node):
    """What a member of a list is called in a path: a choice by its options, a way back `undo`."""
    words = node.values if isinstance(node, source.Mapping) else {}
    return next((word for word in ("options", "undo") if word in words), "*")


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
