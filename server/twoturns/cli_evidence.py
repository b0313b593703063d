"""The commands for evidence: `export` makes a bag of a job, `verify` checks one anywhere."""

import json
import os
from collections.abc import Iterable
from dataclasses import asdict
from pathlib import Path

import click

from twoturns.cli_parts import data_option, now, plain, refuses_in_words
from twoturns.ledger.bag.evidence import Evidence
from twoturns.ledger.bag.verify import Verdict
from twoturns.ledger.bag.verify import verify as verify_bag
from twoturns.ledger.bag.write import write_bag
from twoturns.store import Store
from twoturns.store.evidence import GROUPS, gather


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
@refuses_in_words
def export(job: str, data: Path, out: Path, groups: str, originals: bool) -> None:
    """
    Make an evidence bag of JOB: a zip that proves it without this workshop.

    Example:

    \b
        twoturns export 01935f2a-7c00-7000-8000-000000000001 --out job.zip --with vin
    """
    asked = [group for group in groups.split(",") if group]
    if unknown := [group for group in asked if group not in GROUPS]:
        raise click.UsageError(f"--with knows {', '.join(GROUPS)}, not {', '.join(unknown)}")
    evidence = gather(
        Store(data), job, groups=asked, originals=originals, made_on=f"{now():%Y-%m-%d}"
    )
    _write_whole(out, evidence)
    left = sum(one.state != "disclosed" for one in evidence.disclosures)
    click.echo(
        f"{out}: {len(evidence.records)} records, {len(evidence.files)} photos and values; "
        f"{left} withheld, copied, erased or not there."
    )
    click.echo(f"Check it anywhere with: twoturns verify {out} --key {evidence.workshop}")


@click.command()
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--key", help="The workshop's fingerprint, from paper.")
@click.option(
    "--checkpoint",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="A checkpoint of the workshop that was kept before.",
)
@click.option(
    "--report",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write the report anew, out of the records, to this file.",
)
@click.option("--json", "as_json", is_flag=True, help="One JSON object, for programs.")
def verify(
    file: Path, key: str | None, checkpoint: Path | None, report: Path | None, as_json: bool
) -> None:
    """
    Check the evidence bag FILE. Exits 0 if all of it holds, 1 if something does not.

    Needs no workshop and no network. Without --key it is only shown that the bag agrees with
    itself, and which workshop it says it is from.

    Example:

    \b
        twoturns verify job.zip --key kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k
    """
    kept = None if checkpoint is None else checkpoint.read_text(errors="replace")
    with file.open("rb") as bag:
        verdict = verify_bag(bag, key=key, kept=kept)
    if report is not None and verdict.report is not None:
        report.write_text(verdict.report)
    click.echo(_json(verdict) if as_json else _text(file.name, verdict))
    raise SystemExit(0 if verdict.holds else 1)


def _write_whole(out: Path, evidence: Evidence) -> None:
    """Write beside the name first: a bag that could not be finished never has its name."""
    if out.exists():
        raise click.UsageError(f"{out} is there already; name another file")
    half = out.with_name(f".{out.name}.{os.getpid()}")
    try:
        with half.open("xb") as file:
            write_bag(evidence, file)
        half.rename(out)
    finally:
        half.unlink(missing_ok=True)


def _json(verdict: Verdict) -> str:
    said = {
        "holds": verdict.holds,
        "findings": [asdict(one) for one in verdict.findings],
        "proven": verdict.proven,
        "asserted": [{"by": by, "what": what} for by, what in verdict.asserted],
        "unproven": verdict.unproven,
        "state": verdict.account.state if verdict.account else None,
        "exceptions": [asdict(one) for one in verdict.account.exceptions]
        if verdict.account
        else [],
    }
    return json.dumps(said, indent=2)


def _text(name: str, verdict: Verdict) -> str:
    count = len(verdict.findings)
    found = "1 thing does not hold" if count == 1 else f"{count} things do not hold"
    head = "the record is whole and unaltered" if verdict.holds else found
    lines = [f"{name}: {head}."]
    for one in verdict.findings:
        lines += ["", f"  {one.file}: {one.what}", f"    {one.hint} [{one.code}]"]
    if verdict.account:
        lines += ["", verdict.account.title, f"  {verdict.account.state}"]
        lines += [
            f"  {one.what.rstrip('.')} ({one.who}, record {one.index})"
            for one in verdict.account.exceptions
        ]
    lines += _listed("Proven", verdict.proven)
    lines += _listed("Asserted by", (f"{by}: {what}" for by, what in verdict.asserted))
    lines += _listed("Not proven", verdict.unproven)
    return "\n".join(map(plain, lines))


def _listed(title: str, items: Iterable[str]) -> list[str]:
    rows = [f"  {item}" for item in items]
    return ["", title, *rows] if rows else []
