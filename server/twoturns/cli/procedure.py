"""The commands for the author of a procedure: check it, publish it."""

import json
import sys
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path

import click

from twoturns.cli.parts import (
    data_option,
    now,
    open_to_write,
    refuses_in_words,
)
from twoturns.procedure import shape
from twoturns.procedure.compile.bundle import Bundle, load
from twoturns.procedure.errors import ProcedureError, SourceErrors
from twoturns.procedure.prove.finding import Finding
from twoturns.procedure.prove.phrases import Words
from twoturns.procedure.prove.prove import Proof, prove_compiled
from twoturns.procedure.prove.weight import Weights, weigh
from twoturns.store.bundles import publish as publish_bundle
from twoturns.store.bundles import wants_an_owner
from twoturns.store.offers import hand_in
from twoturns.words import t
from twoturns.words.en.cli import procedure as words

# A way is told shorter where at least so many steps of the listed order follow one another.
SHORTEST_RUN = 4
# So many of the heaviest steps are told: what a person takes in at a glance (chosen).
HEAVIEST = 5


@click.group()
def procedure() -> None:
    """Check a procedure, or publish it for work."""


folder_argument = click.argument(
    "path", type=click.Path(exists=True, file_okay=False, path_type=Path)
)


@procedure.command()
@folder_argument
@click.option("--json", "as_json", is_flag=True, help="One JSON object, for programs.")
@refuses_in_words
def check(path: Path, as_json: bool) -> None:
    """
    Compile and prove the procedure in folder PATH. Exits 1 if anything is wrong with it.

    Every order a phone would allow is walked, failures and ways back included: no house rule may
    break, no proof may be stale, and from everywhere the job can be brought to an end. Then it
    says what the straight job asks of the phone: touches, holds, photos, characters, waits.

    Example:

    \b
        twoturns procedure check demo_jobs/van-timing-drive
    """
    if as_json:
        report = _report(path)
        click.echo(json.dumps(report, ensure_ascii=False, indent=2))
        if not report["ok"]:
            raise click.exceptions.Exit(1)
        return
    bundle = load(path)
    proof = _proved(bundle)
    _print_proof(path, bundle, proof)
    _refuse_unproved(path, proof)


@procedure.command()
@folder_argument
@data_option
@refuses_in_words
def publish(path: Path, data: Path) -> None:
    """
    Compile, prove and publish the procedure in folder PATH. Again, it changes nothing.

    One that takes a house rule that stops otherwise is handed in instead: an owner reads what
    the maker asks for and publishes it on the page Procedures.

    Example:

    \b
        twoturns procedure publish demo_jobs/van-timing-drive
    """
    bundle = load(path)
    proof = _proved(bundle)
    _print_proof(path, bundle, proof)
    _refuse_unproved(path, proof)
    store = open_to_write(data)
    if wants_an_owner(bundle.bundle):
        is_new, said = hand_in(store, bundle, now()), t(words.HANDED_IN)
    else:
        is_new, said = publish_bundle(store, bundle, now()), t(words.PUBLISHED)
    click.echo(said if is_new else t(words.PUBLISHED_ALREADY))


def _proved(bundle: Bundle) -> Proof:
    """Prove with a word now and then where somebody looks on, and an end when he has enough."""
    walked = 0

    def tell(states: int) -> None:
        nonlocal walked
        walked = states
        if sys.stderr.isatty():
            click.echo(t(words.WALK_PROGRESS, states=f"{states:,}"), err=True, nl=False)

    try:
        return prove_compiled(bundle.compiled, tell)
    except KeyboardInterrupt:
        raise click.ClickException(t(words.WALK_STOPPED, walked=f"{walked:,}")) from None
    finally:
        if sys.stderr.isatty():
            click.echo("\r\033[K", err=True, nl=False)


def _report(path: Path) -> dict[str, object]:
    """What was found, for programs. A source that does not compile is walked nowhere."""
    weight = None
    try:
        bundle = load(path)
        proof = _proved(bundle)
        weight = _weighed(bundle.bundle, weigh(bundle.bundle))
    except SourceErrors as errors:
        proof = Proof(0, 0, (), tuple(_faults(errors)), ())
    except ProcedureError as error:
        proof = Proof(0, 0, (), (Finding(error.code, str(error), error.hint),), ())
    return {
        "ok": proof.is_proved,
        "states": proof.states,
        "transitions": proof.transitions,
        "rules_proven": len(proof.rules_proven),
        "findings": [found.as_json() for found in proof.findings],
        "weight": weight,
    }


def _faults(errors: SourceErrors) -> Iterator[Finding]:
    for fault in errors.problems:
        yield Finding(fault.code, fault.message, fault.hint, line=fault.line)


def _print_proof(path: Path, bundle: Bundle, proof: Proof) -> None:
    said, steps = bundle.bundle, bundle.bundle["steps"]
    ways_back = sum(step["undo"] for step in steps)
    click.echo(t(words.EDITION, path=path.name, name=said["name"], edition=said["edition"]))
    click.echo(
        t(
            words.PROCEDURE_CONTENTS,
            steps=len(steps) - ways_back,
            ways_back=ways_back,
            pictures=len(bundle.assets),
            bundle=bundle.sha256,
        )
    )
    click.echo(
        t(
            words.STATES_WALKED,
            states=f"{proof.states:,}",
            transitions=f"{proof.transitions:,}",
        )
    )
    for number, found in enumerate(proof.findings, 1):
        where = "" if found.line is None else f", line {found.line}"
        click.echo(f"\nFinding {number}{where} ({found.code})\n  {_sentence(found.message)}")
        click.echo(f"  {found.hint}")
        if found.sequence:
            click.echo(t(words.SHORTEST_WAY))
            for line in _shortened(bundle.bundle, found):
                click.echo(f"    {line}")
    if proof.is_proved:
        click.echo(t(words.PROVED, rules_proven=len(proof.rules_proven)))
    for line in (*_notes(proof), *_weight(bundle.bundle)):
        click.echo(line)


def _weight(bundle: shape.Bundle) -> Iterator[str]:
    """The mirror: what the straight job asks, a line each, and its heaviest steps."""
    weights, said = weigh(bundle), Words(bundle)
    yield t(words.WEIGHT)
    yield t(words.TOUCHES, n=weights.whole.touches)
    yield t(words.HOLDS, n=weights.whole.holds)
    yield t(words.PHOTOS, n=weights.whole.photos)
    yield t(words.CHARACTERS, n=weights.whole.characters)
    yield t(words.MINUTES, n=weights.whole.minutes)
    yield t(words.HEAVIEST)
    for at, weight in weights.steps[:HEAVIEST]:
        yield t(words.HEAVY_STEP, hand=weight.hand, step=said.step(at))


def _weighed(bundle: shape.Bundle, weights: Weights) -> dict[str, object]:
    """The same for programs: the whole, and each step by its name, heaviest first."""
    steps = [{"step": bundle["steps"][at]["id"], **asdict(weight)} for at, weight in weights.steps]
    return {**asdict(weights.whole), "steps": steps}


def _refuse_unproved(path: Path, proof: Proof) -> None:
    if not proof.is_proved:
        found = len(proof.findings)
        raise click.ClickException(t(words.NOT_PROVED, path=path.name, found=found))


def _sentence(message: str) -> str:
    ending = "" if message.endswith((".", "!", "?")) else "."
    return f"{message[0].upper()}{message[1:]}{ending}"


def _shortened(bundle: shape.Bundle, found: Finding) -> Iterator[str]:
    """A sequence, where what only follows the listed order is told by its first and its last."""
    order = [step["id"] for step in bundle["steps"] if step["must"]]
    place = {name: at for at, name in enumerate(order)}
    begin = 0
    while begin < len(found.way):
        end = begin + 1
        while (
            end < len(found.way)
            and found.way[end] in place
            and place[found.way[end]] == place.get(found.way[end - 1], -2) + 1
        ):
            end += 1
        run = found.sequence[begin:end]
        if len(run) >= SHORTEST_RUN:
            yield t(words.AND_ON_IN_ORDER, run=run[0])
            yield run[-1]
        else:
            yield from run
        begin = end


def _notes(proof: Proof) -> Iterator[str]:
    """Notes of one kind with one hint stand together."""
    together: dict[str, list[str]] = defaultdict(list)
    for note in proof.notes:
        together[note.hint].append(note.message)
    for hint, messages in together.items():
        yield "\nNote"
        for message in messages:
            yield f"  {_sentence(message)}"
        yield f"  {hint}"
