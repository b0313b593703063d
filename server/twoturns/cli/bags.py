"""The commands for evidence: `export` makes a bag of a job, `verify` checks one anywhere."""

import json
import os
from collections.abc import Iterable
from dataclasses import asdict
from pathlib import Path
from typing import Final

import click

from twoturns.bag.evidence import Evidence
from twoturns.bag.verify import Verdict
from twoturns.bag.verify import verify as verify_bag
from twoturns.cli.parts import data_option, now, open_store, plain, refuses_in_words, require_new
from twoturns.store.gather import GROUPS, gather, write
from twoturns.store.store import Store
from twoturns.words import t
from twoturns.words.en.cli import bags as words


@click.command()
@click.argument("job")
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
    metavar="vin,notes",
    help="What to disclose: vin (VIN and plate), notes (names, words, signatures).",
)
@click.option("--originals", is_flag=True, help="Photos as they are, not copies without position.")
@click.option(
    "--since",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="A checkpoint that the reader kept: the bag then proves that the ledger grew from it.",
)
@refuses_in_words
def export(
    job: str, data: Path, out: Path, groups: str, originals: bool, since: Path | None
) -> None:
    """
    Make an evidence bag of JOB: a zip that proves it without this workshop.

    Example:

    \b
        twoturns export 01935f2a-7c00-7000-8000-000000000001 --out job.zip --with vin
    """
    asked = [group for group in groups.split(",") if group]
    if unknown := [group for group in asked if group not in GROUPS]:
        raise click.UsageError(
            t(words.UNKNOWN_GROUP, groups=", ".join(GROUPS), unknown=", ".join(unknown))
        )
    store = open_store(data)
    evidence = gather(
        store,
        job,
        groups=asked,
        originals=originals,
        made_on=f"{now():%Y-%m-%d}",
        since=None if since is None else since.read_text(errors="replace"),
    )
    _write_whole(out, store, evidence)
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
    click.echo(t(words.HOW_TO_CHECK, out=str(out), workshop=evidence.workshop))


@click.command()
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--key", help="The workshop's fingerprint, from paper.")
@click.option(
    "--checkpoint",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="A checkpoint of the workshop that was kept before: did this ledger grow from it?",
)
@click.option(
    "--consistency",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
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
    Check the evidence bag FILE.

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
    kept = None if checkpoint is None else checkpoint.read_text(errors="replace")
    proof = None if consistency is None else consistency.read_bytes()
    with file.open("rb") as bag:
        verdict = verify_bag(bag, key=key, kept=kept, consistency=proof, measures_photos=photos)
    if report is not None and verdict.report is not None:
        report.write_text(verdict.report)
    click.echo(_json(verdict) if as_json else _text(file.name, verdict))
    raise SystemExit(0 if verdict.holds else 1)


def _write_whole(out: Path, store: Store, evidence: Evidence) -> None:
    """Write beside the name first: a bag that could not be finished never has its name."""
    require_new(out)
    half = out.with_name(f".{out.name}.{os.getpid()}")
    try:
        with half.open("xb") as file:
            write(store, evidence, file)
        half.rename(out)
    finally:
        half.unlink(missing_ok=True)


def _json(verdict: Verdict) -> str:
    said = {
        "holds": verdict.holds,
        "findings": [asdict(one) for one in verdict.findings],
        "unshown": [asdict(one) for one in verdict.unshown],
        "workshop": verdict.workshop,
        "trusted": verdict.is_trusted,
        "as_of": None
        if verdict.as_of is None
        else {"made_on": verdict.as_of[0], "size": verdict.as_of[1]},
        "proven": verdict.proven,
        "asserted": [{"by": by, "what": what} for by, what in verdict.asserted],
        "unchecked": verdict.unchecked,
        "unproven": verdict.unproven,
        "state": verdict.told.state if verdict.told else None,
        "exceptions": [asdict(one) for one in verdict.told.exceptions] if verdict.told else [],
    }
    return json.dumps(said, indent=2)


_UNSHOWN: Final = {
    frozenset(): "none",
    frozenset({"completeness-not-proven"}): "completeness",
    frozenset({"growth-not-proven"}): "growth",
}


def _headline(verdict: Verdict) -> str:
    """Say in one line what was verified: never more than was."""
    if verdict.findings or verdict.as_of is None:
        return t(words.FINDINGS, count=len(verdict.findings))
    day, size = verdict.as_of
    return t(
        words.VERIFIED,
        unshown=_UNSHOWN.get(frozenset(one.code for one in verdict.unshown), "both"),
        day=day,
        size=size,
        trusted=verdict.is_trusted,
        workshop=verdict.workshop,
    )


def _text(name: str, verdict: Verdict) -> str:
    lines = [f"{name}: {_headline(verdict)}"]
    for one in (*verdict.findings, *verdict.unshown):
        lines += ["", f"  {one.file}: {one.what}", f"    {one.hint} [{one.code}]"]
    if verdict.told:
        lines += ["", verdict.told.title, f"  {verdict.told.state}"]
        lines += [
            "  " + t(words.EXCEPTION, what=one.what.rstrip("."), who=one.who, index=one.index)
            for one in verdict.told.exceptions
        ]
    lines += _listed(t(words.PROVEN), verdict.proven)
    lines += _listed(t(words.ASSERTED_BY), (f"{by}: {what}" for by, what in verdict.asserted))
    lines += _listed(t(words.NOT_CHECKED), verdict.unchecked)
    lines += _listed(t(words.NOT_PROVEN), verdict.unproven)
    return "\n".join(map(plain, lines))


def _listed(title: str, items: Iterable[str]) -> list[str]:
    rows = [f"  {item}" for item in items]
    return ["", title, *rows] if rows else []
