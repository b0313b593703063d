"""`twoturns procedure check`: compile and prove."""

import json
from collections.abc import Iterator
from dataclasses import asdict
from functools import partial
from pathlib import Path

import click

from twoturns.cli.parts import refuses_in_words
from twoturns.cli.procedure.group import folder_argument, procedure, workshop_option
from twoturns.cli.procedure.proof import print_proof, proved, refuse_unproved
from twoturns.cli.procedure.watch import at_each_save
from twoturns.procedure import shape
from twoturns.procedure.errors import Place, ProcedureError, SourceErrors
from twoturns.procedure.prove.finding import Finding
from twoturns.procedure.prove.prove import Proof
from twoturns.procedure.prove.weight import Weights, weigh
from twoturns.words import t
from twoturns.words.en.cli.procedure import check as words


@procedure.command()
@folder_argument
@click.option("--json", "as_json", is_flag=True, help="One JSON object, for programs.")
@click.option("--watch", is_flag=True, help="Again each time a file is saved, until Ctrl-C.")
@workshop_option
@refuses_in_words
def check(path: Path, as_json: bool, watch: bool, data: Path | None) -> None:
    """
    Compile and prove the procedure in folder PATH. Exits 1 if anything is wrong with it.

    Every order a phone would allow is walked, failures and ways back included: no house rule may
    break, no proof may be stale, and from everywhere the job can be brought to an end. Then it
    says what the straight job asks of the phone: touches, holds, photos, characters, waits.

    Example:

    \b
        twoturns procedure check demo_jobs/van-timing-drive
    """
    if as_json and watch:
        raise click.UsageError(t(words.WATCHED_BY_PEOPLE))
    if as_json:
        report = _report(path, data)
        click.echo(json.dumps(report, ensure_ascii=False, indent=2))
        if not report["ok"]:
            raise click.exceptions.Exit(1)
        return
    if watch:
        at_each_save(path, partial(_told_again, path, data))
    _tell(path, data)


def _tell(path: Path, data: Path | None) -> None:
    bundle, proof = proved(path, data)
    print_proof(path, bundle, proof)
    refuse_unproved(path, proof)


def _told_again(path: Path, data: Path | None) -> None:
    """Tell what is found now in the place of what was: a refusal ends nothing."""
    click.clear()
    try:
        refuses_in_words(_tell)(path, data)
    except click.ClickException as refused:
        refused.show()
    click.echo(t(words.WATCHING), err=True)


def _report(path: Path, data: Path | None) -> dict[str, object]:
    """What was found, for programs. A source that does not compile is walked nowhere."""
    weight = None
    try:
        bundle, proof = proved(path, data)
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
        yield Finding(fault.code, fault.message, fault.hint, place=Place(fault.line, fault.block))


def _weighed(bundle: shape.Bundle, weights: Weights) -> dict[str, object]:
    """The same for programs: the whole, and each step by its name, heaviest first."""
    steps = [{"step": bundle["steps"][at]["id"], **asdict(weight)} for at, weight in weights.steps]
    return {**asdict(weights.whole), "steps": steps}
