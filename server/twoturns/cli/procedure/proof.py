"""A proof, made with progress and told in words."""

import gc
import sys
from collections import defaultdict
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path

import click

from twoturns.procedure import shape
from twoturns.procedure.compile.bundle import Bundle, load
from twoturns.procedure.prove.adapted import prove_adapted
from twoturns.procedure.prove.finding import Finding
from twoturns.procedure.prove.phrases import Words
from twoturns.procedure.prove.prove import Proof
from twoturns.procedure.prove.weight import weigh
from twoturns.store.words_of_workshop import read_words
from twoturns.words import t
from twoturns.words.en.cli.procedure import proof as words

# A way is told shorter where at least so many steps of the listed order follow one another.
SHORTEST_RUN = 4
# So many of the heaviest steps are told: what a person takes in at a glance (chosen).
HEAVIEST = 5


def proved(path: Path, data: Path | None = None) -> tuple[Bundle, Proof]:
    """
    Compile a folder and prove it, as the workshop in `data` takes the house rules.

    With a word now and then where somebody looks on, and an end when he has enough.
    """
    walked = 0

    def tell(states: int) -> None:
        nonlocal walked
        walked = states
        if sys.stderr.isatty():
            click.echo(t(words.WALK_PROGRESS, states=f"{states:,}"), err=True, nl=False)

    try:
        with _uncollected():
            return prove_adapted(
                partial(load, path), {} if data is None else read_words(data), tell
            )
    except KeyboardInterrupt:
        raise click.ClickException(t(words.WALK_STOPPED, walked=f"{walked:,}")) from None
    finally:
        if sys.stderr.isatty():
            click.echo("\r\033[K", err=True, nl=False)


@contextmanager
def _uncollected() -> Iterator[None]:
    """Look for no garbage meanwhile: next to none comes, and each look goes through all."""
    gc.disable()
    try:
        yield
    finally:
        gc.enable()


def print_proof(path: Path, bundle: Bundle, proof: Proof) -> None:
    """Print what was walked, each finding with its way, the notes, and the weight."""
    said, steps = bundle.bundle, bundle.bundle["steps"]
    ways_back = sum(step["undo"] for step in steps)
    click.echo(
        t(words.EDITION, path=path.resolve().name, name=said["name"], edition=said["edition"])
    )
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
        where = _where(found)
        click.echo(f"\nFinding {number}{where} ({found.code})\n  {sentence(found.message)}")
        click.echo(f"  {found.hint}")
        if found.sequence:
            click.echo(t(words.SHORTEST_WAY))
            for line in _shortened(bundle.bundle, found):
                click.echo(f"    {line}")
    if proof.is_proved:
        click.echo(t(words.PROVED, rules_proven=len(proof.rules_proven)))
    for line in (*_notes(proof), *_weight(bundle.bundle)):
        click.echo(line)


def _where(found: Finding) -> str:
    if found.place is None:
        return ""
    block = found.place.block
    return f", line {found.place.line}" + ("" if block is None else f", {block}")


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


def refuse_unproved(path: Path, proof: Proof) -> None:
    """End with 1 where anything was found."""
    if not proof.is_proved:
        found = len(proof.findings)
        raise click.ClickException(t(words.NOT_PROVED, path=path.resolve().name, found=found))


def sentence(message: str) -> str:
    """Return a message with a large letter and an end."""
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
            yield f"  {sentence(message)}"
        yield f"  {hint}"
