"""
The commands for evidence: `export` makes bags, `verify` checks them anywhere, `sample` draws anew.
"""

import os
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any, BinaryIO, NoReturn

import click

from twoturns.bag.evidence import Evidence
from twoturns.bag.many import ManyVerdict, is_many, verify_many, write_many
from twoturns.bag.verify import verify as verify_bag
from twoturns.cli.parts import FILE, data_option, now, open_store, refuses_in_words, require_new
from twoturns.cli.verdict import json_of, json_of_many, text_of, text_of_many
from twoturns.store.gather import GROUPS, gather, write
from twoturns.store.gather_many import bags_of
from twoturns.store.gather_sample import sheet_of
from twoturns.store.store import Store
from twoturns.words import t
from twoturns.words.en.cli import bags as words


@click.command()
@click.argument("jobs", nargs=-1, metavar="[JOB]...")
@data_option
@click.option(
    "--out",
    required=True,
    type=click.Path(dir_okay=False, path_type=Path),
    help="The file to write; it must not be there yet.",
)
@click.option(
    "--with",
    "groups",
    default="",
    metavar="vin,notes,papers",
    help="What to disclose: vin (VIN and plate), notes (names, words, signatures), papers "
    "(certificates of the tools, permits of the persons).",
)
@click.option("--originals", is_flag=True, help="Photos as they are, not copies without position.")
@click.option(
    "--since",
    type=FILE,
    help="A checkpoint that the reader kept: the bag then proves that the ledger grew from it.",
)
@click.option(
    "--sample",
    metavar="FREEZE",
    help="The id of an auditor's freeze: the jobs that were drawn, and what proves the draw.",
)
@refuses_in_words
def export(
    jobs: tuple[str, ...],
    data: Path,
    out: Path,
    groups: str,
    originals: bool,
    since: Path | None,
    sample: str | None,
) -> None:
    """
    Make an evidence bag of JOB: a zip that proves it without this workshop.

    Of several jobs, or of a sample, one file holds a bag for each.

    Example:

    \b
        twoturns export 01935f2a-7c00-7000-8000-000000000001 --out job.zip --with vin
    """
    if bool(jobs) == (sample is not None):
        raise click.UsageError(t(words.JOBS_OR_SAMPLE))
    if since is not None and len(jobs) != 1:
        raise click.UsageError(t(words.SINCE_OF_ONE))
    wishes = {
        "groups": _groups(groups),
        "originals": originals,
        "made_on": f"{now():%Y-%m-%d}",
    }
    store = open_store(data)
    if len(jobs) == 1:
        _export_one(store, jobs[0], out, wishes, since)
    else:
        _export_many(store, jobs, out, wishes, sample)
    click.echo(t(words.HOW_TO_CHECK, out=str(out), workshop=store.ledger.workshop))


def _groups(said: str) -> list[str]:
    asked = [group for group in said.split(",") if group]
    if unknown := [group for group in asked if group not in GROUPS]:
        raise click.UsageError(
            t(words.UNKNOWN_GROUP, groups=", ".join(GROUPS), unknown=", ".join(unknown))
        )
    return asked


def _export_one(
    store: Store, job: str, out: Path, wishes: dict[str, Any], since: Path | None
) -> None:
    kept = None if since is None else since.read_text(errors="replace")
    evidence = gather(store, job, **wishes, since=kept)
    _write_whole(out, partial(write, store, evidence))
    _say_what_left(out, evidence)


def _export_many(
    store: Store, jobs: tuple[str, ...], out: Path, wishes: dict[str, Any], sample: str | None
) -> None:
    files: dict[str, bytes] = {}
    if sample is not None:
        drawn, files = sheet_of(store, sample)
        jobs = drawn.jobs
    each = bags_of(store, jobs, **wishes)
    _write_whole(out, lambda file: write_many(each, files, out.stem, file))
    click.echo(t(words.EXPORTED_MANY, out=str(out), bags=len(jobs)))


def _say_what_left(out: Path, evidence: Evidence) -> None:
    left = sum(one.state != "disclosed" for one in evidence.disclosures)
    click.echo(
        t(
            words.EXPORTED,
            out=str(out),
            records=len(evidence.records),
            files=len(evidence.files),
            left=left,
        )
    )


@click.command()
@click.argument("file", type=FILE)
@click.option("--key", help="The workshop's fingerprint, from paper.")
@click.option(
    "--checkpoint",
    type=FILE,
    help="A checkpoint of the workshop that was kept before: did this ledger grow from it?",
)
@click.option(
    "--consistency",
    type=FILE,
    help="What the workshop answered at /api/consistency, between that checkpoint and the bag's.",
)
@click.option(
    "--report",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write the report anew, out of the records, to this file; it must not be there yet. Its "
    "pictures show where it lies in the data folder of the unpacked bag.",
)
@click.option(
    "--photos", is_flag=True, help="Measure originals anew, too: are they as sharp as told?"
)
@click.option("--json", "as_json", is_flag=True, help="One JSON object, for programs.")
def verify(
    file: Path,
    key: str | None,
    checkpoint: Path | None,
    consistency: Path | None,
    report: Path | None,
    photos: bool,
    as_json: bool,
) -> None:
    """
    Check the evidence bag FILE, or each bag of a file that holds several.

    Exits 0 if all of it holds and nothing was left out; 1 if something does not hold, or if
    what had to be shown is not: a bag of an older form cannot show that it is whole
    (completeness not proven), nor can any that its ledger grew from --checkpoint without a
    consistency proof (growth not proven).

    Needs no workshop and no network. Without --key it is only shown that the bag agrees with
    itself, and which workshop it says it is from: any workshop could have signed it.

    Example:

    \b
        twoturns verify job.zip --key kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k
    """
    if consistency is not None and checkpoint is None:
        raise click.UsageError(t(words.NEEDS_CHECKPOINT))
    if report is not None:
        require_new(report)
    with file.open("rb") as bags:
        if is_many(bags):
            if checkpoint is not None or report is not None or photos:
                raise click.UsageError(t(words.ONE_BAG_ONLY))
            _tell_many(file.name, verify_many(bags, key=key), as_json=as_json)
    kept = None if checkpoint is None else checkpoint.read_text(errors="replace")
    proof = None if consistency is None else consistency.read_bytes()
    with file.open("rb") as bag:
        verdict = verify_bag(bag, key=key, kept=kept, consistency=proof, measures_photos=photos)
    if report is not None and verdict.report is not None:
        report.write_text(verdict.report)
    click.echo(json_of(verdict) if as_json else text_of(file.name, verdict))
    raise SystemExit(0 if verdict.holds else 1)


def _tell_many(name: str, verdict: ManyVerdict, *, as_json: bool) -> NoReturn:
    click.echo(json_of_many(verdict) if as_json else text_of_many(name, verdict))
    raise SystemExit(0 if verdict.holds else 1)


def _write_whole(out: Path, write_to: Callable[[BinaryIO], None]) -> None:
    """Write beside the name first: a bag that could not be finished never has its name."""
    require_new(out)
    half = out.with_name(f".{out.name}.{os.getpid()}")
    try:
        with half.open("xb") as file:
            write_to(file)
        half.rename(out)
    finally:
        half.unlink(missing_ok=True)
